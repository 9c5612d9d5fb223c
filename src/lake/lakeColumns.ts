import type { NormalizedOutput, NormalizedTest } from '../normalize/normalized.ts';
import type { LakePortion } from './portionsInForce.ts';

/** Cells by column, one length: texts as strings ('' missing), numbers as doubles (NaN missing). */
export type LakeColumns = Record<string, Float64Array | string[]>;
type Kinds<Row> = { [Name in keyof Row]: Row[Name] extends number ? 'number' : 'text' };

/** The columns of tests, in the order the lake keeps them. */
export const testColumns: Kinds<NormalizedTest> = {
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
};

/** The columns of outputs that their test does not say already, in the order the lake keeps them. */
export const sentOutputColumns: Kinds<Omit<NormalizedOutput, 'store' | 'testId'>> = {
  output: 'text',
  outputClass: 'text',
  outputKg: 'number',
  weightAsSent: 'number',
  pieces: 'number',
  sourceLine: 'number',
};

/** The columns of outputs as they are handed on. */
export const outputColumns: Kinds<NormalizedOutput> = {
  store: 'text',
  testId: 'text',
  ...sentOutputColumns,
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

/**
 * Rows as columns of the given names and kinds; all columns are there also when there are no rows. Fills new arrays in place,
 * row by row: going through many rows once for each column would cost several times as much.
 */
export const columnsOf = <Row extends object>(kinds: Kinds<Row>, rows: readonly Row[]): LakeColumns => {
  const names = Object.keys(kinds) as (keyof Row & string)[];
  const columns = names.map((name) =>
    kinds[name] === 'number' ? new Float64Array(rows.length) : new Array<string>(rows.length),
  ) as (string | number)[][];
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i] as Row;
    for (let k = 0; k < names.length; k++)
      (columns[k] as (string | number)[])[i] = row[names[k] as keyof Row] as string | number;
  }
  return Object.fromEntries(names.map((name, k) => [name, columns[k]])) as LakeColumns;
};

/** One number a row. Fills a new array in place: Float64Array.from would go through an iterator. */
export const numbersOf = <Row>(rows: readonly Row[], cell: (row: Row) => number): Float64Array => {
  const column = new Float64Array(rows.length);
  for (let i = 0; i < rows.length; i++) column[i] = cell(rows[i] as Row);
  return column;
};

/** The columns that hold anything. */
export const saying = (columns: LakeColumns): LakeColumns =>
  Object.fromEntries(
    Object.entries(columns).filter(([, column]) =>
      column instanceof Float64Array
        ? column.some((cell) => !Number.isNaN(cell))
        : column.some((cell) => cell !== ''),
    ),
  );

/** The rows of columns as they are kept; a column that was left out says nothing in any row. */
export const rowsOfColumns = <Row>(kinds: Kinds<Row>, columns: LakeColumns, count: number): Row[] => {
  const names = Object.keys(kinds as object) as (keyof Row & string)[];
  const blank = Object.fromEntries(
    names.map((name) => [name, kinds[name] === 'number' ? Number.NaN : '']),
  ) as Row;
  const kept = names.filter((name) => columns[name] !== undefined);
  return Array.from({ length: count }, (_, i) => {
    const row = { ...blank };
    for (const name of kept) row[name] = columns[name]?.[i] as Row[typeof name];
    return row;
  });
};
