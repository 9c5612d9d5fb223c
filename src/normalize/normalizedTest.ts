import type { Chain } from '../catalog/chain.ts';
import type { TypedLine } from '../ingest/ingested.ts';
import { kilogramsPer } from '../units/weight.ts';
import type { Keys } from './keyOf.ts';
import type { NormalizedOutput, NormalizedTest } from './normalized.ts';

const text = (line: TypedLine, name: string): string => String(line.values[name] ?? '');
const quantity = (line: TypedLine, name: string): number =>
  typeof line.values[name] === 'number' ? (line.values[name] as number) : Number.NaN;

/** The rows of one test as one test with its outputs; weights to kg, unit cost to cost per kg. */
export const normalizedTest = (
  path: string,
  lines: readonly TypedLine[],
  keys: Keys,
  chain: Chain,
): { test: NormalizedTest; outputs: NormalizedOutput[] } => {
  const line = lines[0] as TypedLine;
  const unit = text(line, 'unit');
  const kgPer = kilogramsPer(unit);
  const item = keys.item.find(text(line, 'item'));
  const method = keys.method(text(line, 'method'), item);
  const pieces = quantity(line, 'pieces_in');
  const test: NormalizedTest = {
    store: text(line, 'store'),
    testId: text(line, 'test_id'),
    cutter: text(line, 'cutter'),
    cutDay: quantity(line, 'cut_date'),
    item,
    spec: text(line, 'spec'),
    treatment: text(line, 'treatment'),
    grade: keys.grade.find(text(line, 'grade')),
    supplier: text(line, 'supplier'),
    plant: text(line, 'plant'),
    lot: text(line, 'lot'),
    packDay: quantity(line, 'pack_date'),
    leaker: text(line, 'leaker'),
    boughtClass: text(line, 'bought_class'),
    billedKg: quantity(line, 'billed_weight') * kgPer,
    receivedKg: quantity(line, 'received_weight') * kgPer,
    weighed: text(line, 'weighed'),
    purgeKg: quantity(line, 'purge_weight') * kgPer,
    addedKg: quantity(line, 'added_weight') * kgPer,
    piecesIn: Number.isNaN(pieces) ? 1 : pieces,
    unit,
    unitCostPerKg: quantity(line, 'unit_cost') / kgPer,
    method,
    minutes: quantity(line, 'minutes'),
    fatCoverIn: quantity(line, 'fat_cover_in'),
    reason: text(line, 'reason'),
    witness: text(line, 'witness'),
    note: text(line, 'note'),
    revisedDay: quantity(line, 'revised_on'),
    sourceFile: path,
    sourceLine: line.sourceLine,
  };
  const outputs =
    line.wideOutputs.length > 0
      ? wideOutputs(line, test, keys, chain)
      : lines.flatMap((row) => longOutput(row, test, keys));
  return {
    test,
    outputs: outputs.map((output) => ({
      ...output,
      outputClass: chain.outputs.find((entry) => entry.output === output.output)?.class ?? '',
    })),
  };
};

const longOutput = (line: TypedLine, test: NormalizedTest, keys: Keys): NormalizedOutput[] => [
  outputOf(test, keys.output.find(text(line, 'output')), {
    sent: quantity(line, 'output_weight'),
    pieces: quantity(line, 'pieces'),
    sourceLine: line.sourceLine,
  }),
];

/** Blank cells of outputs that the method does not have are no lines at all; blank cells of its own are "not weighed". */
const wideOutputs = (line: TypedLine, test: NormalizedTest, keys: Keys, chain: Chain): NormalizedOutput[] => {
  const expected =
    chain.methods.find((entry) => entry.method === test.method && entry.item === test.item)?.outputs ?? [];
  return line.wideOutputs.flatMap(([name, sent]) => {
    const output = keys.output.find(name);
    if (output === '' || (Number.isNaN(sent) && !expected.includes(output))) return [];
    return [outputOf(test, output, { sent, pieces: Number.NaN, sourceLine: line.sourceLine })];
  });
};

const outputOf = (
  test: NormalizedTest,
  output: string,
  line: { sent: number; pieces: number; sourceLine: number },
): NormalizedOutput => ({
  store: test.store,
  testId: test.testId,
  output,
  outputClass: '',
  outputKg: line.sent * kilogramsPer(test.unit),
  weightAsSent: line.sent,
  pieces: line.pieces,
  sourceLine: line.sourceLine,
});
