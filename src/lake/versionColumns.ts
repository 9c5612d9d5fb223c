import type { SentOutput, SentTest } from '../normalize/versionTable.ts';
import { type Kinds, type LakeColumns, numbersOf, testColumns, textsOf } from './lakeColumns.ts';
import type { LakeVersion } from './lakeRows.ts';

/** The columns of outputs that their test does not say already, in the order the lake keeps them. */
export const outputColumns: Kinds<SentOutput> = {
  output: 'text',
  outputClass: 'text',
  outputKg: 'number',
  weightAsSent: 'number',
  pieces: 'number',
  sourceLine: 'number',
};

/** Columns by name; texts and numbers are gathered by functions of their own, as one for both is several times slower. */
const byKind = <Row>(
  kinds: Kinds<Row>,
  texts: (name: never) => string[],
  numbers: (name: never) => Float64Array,
): LakeColumns =>
  Object.fromEntries(
    Object.entries(kinds).map(([name, kind]) => [
      name,
      kind === 'number' ? numbers(name as never) : texts(name as never),
    ]),
  );

/** The columns of the tests of versions, in their order. */
export const testColumnsOf = (versions: readonly LakeVersion[]): LakeColumns =>
  byKind(
    testColumns,
    (name: keyof SentTest) => textsOf(versions, ({ table, place }) => table.tests[name][place] as string),
    (name: keyof SentTest) => numbersOf(versions, ({ table, place }) => table.tests[name][place] as number),
  );

/** The columns of the outputs of versions, those of a version behind those of the one before. */
export const outputColumnsOf = (versions: readonly LakeVersion[]): LakeColumns => {
  const count = outputCount(versions);
  return byKind(
    outputColumns,
    (name: keyof SentOutput) => outputTexts(versions, name, count),
    (name: keyof SentOutput) => outputNumbers(versions, name, count),
  );
};

const outputTexts = (versions: readonly LakeVersion[], name: keyof SentOutput, count: number): string[] => {
  const texts = new Array<string>(count);
  let to = 0;
  for (const { table, place } of versions) {
    const own = table.outputs[name];
    const end = table.starts[place + 1] as number;
    for (let at = table.starts[place] as number; at < end; at++) texts[to++] = own[at] as string;
  }
  return texts;
};

const outputNumbers = (
  versions: readonly LakeVersion[],
  name: keyof SentOutput,
  count: number,
): Float64Array => {
  const numbers = new Float64Array(count);
  let to = 0;
  for (const { table, place } of versions) {
    const own = table.outputs[name];
    const end = table.starts[place + 1] as number;
    for (let at = table.starts[place] as number; at < end; at++) numbers[to++] = own[at] as number;
  }
  return numbers;
};

/** One text of the test of each version, once for each of its outputs. */
export const textsPerOutput = (versions: readonly LakeVersion[], name: 'store' | 'testId'): string[] => {
  const texts = new Array<string>(outputCount(versions));
  let to = 0;
  for (const { table, place } of versions) {
    const text = table.tests[name][place] as string;
    const end = to + outputsOf({ table, place });
    while (to < end) texts[to++] = text;
  }
  return texts;
};

/** The place among the versions of the one that each output belongs to. */
export const versionPlaces = (versions: readonly LakeVersion[]): Float64Array => {
  const places = new Float64Array(outputCount(versions));
  let to = 0;
  for (const [place, version] of versions.entries()) {
    places.fill(place, to, to + outputsOf(version));
    to += outputsOf(version);
  }
  return places;
};

const outputsOf = ({ table, place }: Pick<LakeVersion, 'table' | 'place'>): number =>
  (table.starts[place + 1] as number) - (table.starts[place] as number);

const outputCount = (versions: readonly LakeVersion[]): number => {
  let count = 0;
  for (const version of versions) count += outputsOf(version);
  return count;
};
