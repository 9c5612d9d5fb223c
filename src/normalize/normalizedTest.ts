import type { TypedLine } from '../ingest/ingested.ts';
import { kilogramsPer } from '../units/weight.ts';
import type { CellReaders } from './cellReaders.ts';
import type { Keys } from './keyOf.ts';
import type { NormalizedOutput, NormalizedTest } from './normalized.ts';

export type NormalizeSetting = { path: string; keys: Keys; cells: CellReaders; isWide: boolean };

/** The rows of one test as one test with its outputs; weights to kg, unit cost to cost per kg. */
export const normalizedTest = (
  lines: readonly TypedLine[],
  setting: NormalizeSetting,
): { test: NormalizedTest; outputs: NormalizedOutput[] } => {
  const { path, keys, cells } = setting;
  const line = lines[0] as TypedLine;
  const text = (name: string): string => cells.text(line, name);
  const quantity = (name: string): number => cells.quantity(line, name);
  const unit = text('unit');
  const kgPer = kilogramsPer(unit);
  const item = keys.item.find(text('item'));
  const pieces = quantity('pieces_in');
  const test: NormalizedTest = {
    store: text('store'),
    testId: text('test_id'),
    cutter: text('cutter'),
    cutDay: quantity('cut_date'),
    item,
    spec: text('spec'),
    treatment: text('treatment'),
    grade: keys.grade.find(text('grade')),
    supplier: text('supplier'),
    plant: text('plant'),
    lot: text('lot'),
    packDay: quantity('pack_date'),
    leaker: text('leaker'),
    boughtClass: text('bought_class'),
    billedKg: quantity('billed_weight') * kgPer,
    receivedKg: quantity('received_weight') * kgPer,
    weighed: text('weighed'),
    purgeKg: quantity('purge_weight') * kgPer,
    addedKg: quantity('added_weight') * kgPer,
    piecesIn: Number.isNaN(pieces) ? 1 : pieces,
    unit,
    unitCostPerKg: quantity('unit_cost') / kgPer,
    method: keys.methods.get(item)?.find(text('method')) ?? '',
    minutes: quantity('minutes'),
    fatCoverIn: quantity('fat_cover_in'),
    reason: text('reason'),
    witness: text('witness'),
    note: notesOf(lines, cells),
    revisedDay: quantity('revised_on'),
    sourceFile: path,
    sourceLine: line.sourceLine,
  };
  return { test, outputs: outputsOf(lines, test, setting) };
};

/** The notes of all rows, each once, in an order that does not depend on that of the rows. */
const notesOf = (lines: readonly TypedLine[], cells: CellReaders): string => {
  const notes = new Set(lines.map((line) => cells.text(line, 'note')));
  notes.delete('');
  return [...notes].sort().join('; ');
};

/** In the wide layout, blank cells of outputs that the method does not have are no lines at all; its own are "not weighed". */
const outputsOf = (
  lines: readonly TypedLine[],
  test: NormalizedTest,
  { keys, cells, isWide }: NormalizeSetting,
): NormalizedOutput[] => {
  const kgPer = kilogramsPer(test.unit);
  const output = (line: TypedLine, key: string, weight: number): NormalizedOutput => ({
    store: test.store,
    testId: test.testId,
    output: key,
    outputClass: keys.classOf(key),
    outputKg: weight * kgPer,
    weightAsSent: weight,
    pieces: isWide ? Number.NaN : cells.quantity(line, 'pieces'),
    sourceLine: line.sourceLine,
  });
  if (!isWide)
    return byName(
      lines.map((line) =>
        output(line, keys.output.find(cells.text(line, 'output')), cells.quantity(line, 'output_weight')),
      ),
    );
  const [line] = lines as [TypedLine];
  const expected = keys.outputsOf(test.item, test.method);
  return byName(
    cells.wideOutputs.flatMap((name) => {
      const key = keys.output.find(name);
      const weight = cells.quantity(line, `wide:${name}`);
      return Number.isNaN(weight) && !expected.includes(key) ? [] : [output(line, key, weight)];
    }),
  );
};

/** Outputs, which are new, in the order of their names by code unit, so that the order of rows does not show. */
const byName = (outputs: NormalizedOutput[]): NormalizedOutput[] =>
  outputs.sort((a, b) => (a.output < b.output ? -1 : a.output > b.output ? 1 : 0));
