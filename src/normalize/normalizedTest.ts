import { byCodeUnit } from '../tables/byCodeUnit.ts';
import { kilogramsPer } from '../units/weight.ts';
import type { CellReaders } from './cellReaders.ts';
import type { Keys } from './keyOf.ts';
import type { NormalizedTest } from './normalized.ts';
import type { OutputLists, OutputSpan } from './outputSpan.ts';

/** `outputs`: where the outputs of the file are gathered. */
export type NormalizeSetting = {
  path: string;
  keys: Keys;
  cells: CellReaders;
  isWide: boolean;
  outputs: OutputLists;
};

/** The rows of one test as one test with its outputs; weights to kg, unit cost to cost per kg. */
export const normalizedTest = (
  lines: readonly number[],
  setting: NormalizeSetting,
): { test: NormalizedTest; outputs: OutputSpan } => {
  const { path, keys, cells } = setting;
  const line = lines[0] as number;
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
    sourceLine: cells.at(line).sourceLine,
  };
  return { test, outputs: outputsOf(lines, test, setting) };
};

/** The notes of all rows, each once, in an order that does not depend on that of the rows. */
const notesOf = (lines: readonly number[], cells: CellReaders): string => {
  const notes = new Set(lines.map((line) => cells.text(line, 'note')));
  notes.delete('');
  return [...notes].sort().join('; ');
};

type Weighed = { line: number; output: string; weight: number };

/** Gathers the outputs in the order of their names by code unit, so that the order of rows does not show. */
const outputsOf = (lines: readonly number[], test: NormalizedTest, setting: NormalizeSetting): OutputSpan => {
  const { keys, cells, isWide, outputs } = setting;
  const kgPer = kilogramsPer(test.unit);
  const from = outputs.output.length;
  const found = isWide ? wideOutputs(lines[0] as number, test, setting) : longOutputs(lines, setting);
  found.sort((a, b) => byCodeUnit(a.output, b.output));
  for (const { line, output, weight } of found) {
    outputs.output.push(output);
    outputs.outputClass.push(keys.classOf(output));
    outputs.outputKg.push(weight * kgPer);
    outputs.weightAsSent.push(weight);
    outputs.pieces.push(isWide ? Number.NaN : cells.quantity(line, 'pieces'));
    outputs.sourceLine.push(cells.at(line).sourceLine);
  }
  return { columns: outputs, from, to: outputs.output.length };
};

const longOutputs = (lines: readonly number[], { keys, cells }: NormalizeSetting): Weighed[] =>
  lines.map((line) => ({
    line,
    output: keys.output.find(cells.text(line, 'output')),
    weight: cells.quantity(line, 'output_weight'),
  }));

/** Blank cells of outputs that the method does not have are no lines at all; its own are "not weighed". */
const wideOutputs = (line: number, test: NormalizedTest, { keys, cells }: NormalizeSetting): Weighed[] => {
  const expected = keys.outputsOf(test.item, test.method);
  return cells.wideOutputs.flatMap((name) => {
    const output = keys.output.find(name);
    const weight = cells.quantity(line, `wide:${name}`);
    return Number.isNaN(weight) && !expected.includes(output) ? [] : [{ line, output, weight }];
  });
};
