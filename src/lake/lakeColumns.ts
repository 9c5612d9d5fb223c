import type { SentTest } from '../normalize/versionTable.ts';
import type { Columns } from '../tables/columnRows.ts';
import type { LakePortion } from './portionsInForce.ts';

/** Cells by column, one length: texts as strings ('' missing), numbers as doubles (NaN missing). */
export type LakeColumns = Record<string, Float64Array | string[]>;
/** What a column holds, by its name. */
export type Kinds<Row> = { [Name in keyof Row]: Row[Name] extends number ? 'number' : 'text' };

/** The columns of tests, in the order the lake keeps them. */
export const testColumns: Kinds<SentTest> = {
  store: 'text',
  testId: 'text',
  cutter: 'text',
  cutDay: 'number',
  item: 'text',
  spec: 'text',
  treatment: 'text',
  grade: 'text',
  supplier: 'text',
  plant: 'text',
  lot: 'text',
  packDay: 'number',
  leaker: 'text',
  boughtClass: 'text',
  billedKg: 'number',
  receivedKg: 'number',
  weighed: 'text',
  purgeKg: 'number',
  addedKg: 'number',
  piecesIn: 'number',
  unit: 'text',
  unitCostPerKg: 'number',
  method: 'text',
  minutes: 'number',
  fatCoverIn: 'number',
  reason: 'text',
  witness: 'text',
  note: 'text',
  revisedDay: 'number',
  sourceFile: 'text',
  sourceLine: 'number',
  rows: 'number',
  byteOffset: 'number',
};

/** The columns of portions, in the order the lake keeps them. */
export const portionColumns: Kinds<LakePortion> = {
  store: 'text',
  testId: 'text',
  output: 'text',
  piece: 'text',
  weightKg: 'number',
  thicknessIn: 'number',
  sourceFile: 'text',
  sourceLine: 'number',
  byteOffset: 'number',
  batch: 'text',
};

/** Rows as columns of the given names and kinds; all columns are there also when there are no rows. */
export const columnsOf = <Row extends object>(kinds: Kinds<Row>, rows: readonly Row[]): LakeColumns => {
  const names = Object.keys(kinds) as (keyof Row & string)[];
  const columnOf = (name: keyof Row): Float64Array | string[] =>
    kinds[name] === 'number'
      ? numbersOf(rows, (row) => row[name] as number)
      : textsOf(rows, (row) => row[name] as string);
  return Object.fromEntries(names.map((name) => [name, columnOf(name)]));
};

/** One number a row. Fills a new array in place: Float64Array.from would go through an iterator. */
export const numbersOf = <Row>(rows: readonly Row[], cell: (row: Row) => number): Float64Array => {
  const column = new Float64Array(rows.length);
  for (let i = 0; i < rows.length; i++) column[i] = cell(rows[i] as Row);
  return column;
};

/** One text a row. */
export const textsOf = <Row>(rows: readonly Row[], cell: (row: Row) => string): string[] => rows.map(cell);

/** The columns that hold anything. */
export const saying = (columns: LakeColumns): LakeColumns =>
  Object.fromEntries(
    Object.entries(columns).filter(([, column]) =>
      column instanceof Float64Array
        ? column.some((cell) => !Number.isNaN(cell))
        : column.some((cell) => cell !== ''),
    ),
  );

/** The columns of tests as they are kept, and those that were left out as they say nothing in any row. */
export const withBlanks = (columns: LakeColumns, count: number): Columns<SentTest> => {
  const texts = new Array<string>(count).fill('');
  const numbers = new Float64Array(count).fill(Number.NaN);
  const whole = Object.entries(testColumns).map(([name, kind]) => [
    name,
    columns[name] ?? (kind === 'number' ? numbers : texts),
  ]);
  return Object.fromEntries(whole);
};
