import { byCodeUnit } from '../tables/byCodeUnit.ts';
import type { Columns } from '../tables/columnRows.ts';
import { kilogramsPer } from '../units/weight.ts';
import type { CellReaders } from './cellReaders.ts';
import type { Keys } from './keyOf.ts';
import type { SentOutput, SentTest, VersionTable } from './versionTable.ts';

export type NormalizeSetting = { path: string; keys: Keys; cells: CellReaders; isWide: boolean };

/** Tests of one file, given by the places of their rows, with their outputs; weights to kg, unit cost to cost per kg. */
export const normalizedTests = (
  groups: readonly (readonly number[])[],
  setting: NormalizeSetting,
): VersionTable => {
  const tests = testColumns(groups, setting);
  const outputs = outputLists();
  const starts = [0];
  for (const [place, lines] of groups.entries()) {
    const about = {
      unit: tests.unit[place] ?? '',
      item: tests.item[place] ?? '',
      method: tests.method[place] ?? '',
    };
    addOutputs(outputs, lines, about, setting);
    starts.push(outputs.output.length);
  }
  return { count: groups.length, tests, outputs, starts };
};

const testColumns = (
  groups: readonly (readonly number[])[],
  { path, keys, cells }: NormalizeSetting,
): Columns<SentTest> => {
  const firsts = groups.map((lines) => lines[0] as number);
  const texts = (name: string): string[] => cells.texts(firsts, name);
  const quantities = (name: string): Float64Array => cells.quantities(firsts, name);
  const units = texts('unit');
  const kgPer = Float64Array.from(units, kilogramsPer);
  const kilograms = (name: string): Float64Array =>
    quantities(name).map((weight, i) => weight * (kgPer[i] as number));
  const item = texts('item').map(keys.item.find);
  return {
    store: texts('store'),
    testId: texts('test_id'),
    cutter: texts('cutter'),
    cutDay: quantities('cut_date'),
    item,
    spec: texts('spec'),
    treatment: texts('treatment'),
    grade: texts('grade').map(keys.grade.find),
    supplier: texts('supplier'),
    plant: texts('plant'),
    lot: texts('lot'),
    packDay: quantities('pack_date'),
    leaker: texts('leaker'),
    boughtClass: texts('bought_class'),
    billedKg: kilograms('billed_weight'),
    receivedKg: kilograms('received_weight'),
    weighed: texts('weighed'),
    purgeKg: kilograms('purge_weight'),
    addedKg: kilograms('added_weight'),
    piecesIn: quantities('pieces_in').map((pieces) => (Number.isNaN(pieces) ? 1 : pieces)),
    unit: units,
    unitCostPerKg: quantities('unit_cost').map((cost, i) => cost / (kgPer[i] as number)),
    method: texts('method').map((text, i) => keys.methods.get(item[i] as string)?.find(text) ?? ''),
    minutes: quantities('minutes'),
    fatCoverIn: quantities('fat_cover_in'),
    reason: texts('reason'),
    witness: texts('witness'),
    note: groups.map((lines) => notesOf(lines, cells)),
    revisedDay: quantities('revised_on'),
    sourceFile: firsts.map(() => path),
    sourceLine: Float64Array.from(firsts, (line) => cells.at(line).sourceLine),
    rows: Float64Array.from(groups, (lines) => lines.length),
    byteOffset: Float64Array.from(firsts, (line) => cells.at(line).byteOffset),
  };
};

/** The notes of all rows, each once, in an order that does not depend on that of the rows. */
const notesOf = (lines: readonly number[], cells: CellReaders): string => {
  const notes = lines.map((line) => cells.text(line, 'note')).filter((note) => note !== '');
  return notes.length === 0 ? '' : [...new Set(notes)].sort().join('; ');
};

type OutputLists = { [Name in keyof SentOutput]: SentOutput[Name][] };
const outputLists = (): OutputLists => ({
  output: [],
  outputClass: [],
  outputKg: [],
  weightAsSent: [],
  pieces: [],
  sourceLine: [],
});

type About = Pick<SentTest, 'unit' | 'item' | 'method'>;
type Weighed = { line: number; output: string; weight: number };

/** Adds the outputs of one test in the order of their names by code unit, so that the order of rows does not show. */
const addOutputs = (
  outputs: OutputLists,
  lines: readonly number[],
  about: About,
  setting: NormalizeSetting,
): void => {
  const { keys, cells, isWide } = setting;
  const kgPer = kilogramsPer(about.unit);
  const found = isWide ? wideOutputs(lines[0] as number, about, setting) : longOutputs(lines, setting);
  found.sort((a, b) => byCodeUnit(a.output, b.output));
  for (const { line, output, weight } of found) {
    outputs.output.push(output);
    outputs.outputClass.push(keys.classOf(output));
    outputs.outputKg.push(weight * kgPer);
    outputs.weightAsSent.push(weight);
    outputs.pieces.push(isWide ? Number.NaN : cells.quantity(line, 'pieces'));
    outputs.sourceLine.push(cells.at(line).sourceLine);
  }
};

const longOutputs = (lines: readonly number[], { keys, cells }: NormalizeSetting): Weighed[] =>
  lines.map((line) => ({
    line,
    output: keys.output.find(cells.text(line, 'output')),
    weight: cells.quantity(line, 'output_weight'),
  }));

/** Blank cells of outputs that the method does not have are no lines at all; its own are "not weighed". */
const wideOutputs = (line: number, { item, method }: About, { keys, cells }: NormalizeSetting): Weighed[] => {
  const expected = keys.outputsOf(item, method);
  return cells.wideOutputs.flatMap((name) => {
    const output = keys.output.find(name);
    const weight = cells.quantity(line, `wide:${name}`);
    return Number.isNaN(weight) && !expected.includes(output) ? [] : [{ line, output, weight }];
  });
};
