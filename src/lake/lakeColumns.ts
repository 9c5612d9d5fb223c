import type { NormalizedTest } from '../normalize/normalized.ts';
import type { LakePortion } from './portionsInForce.ts';

/** Cells by column, one length: texts as strings ('' missing), numbers as doubles (NaN missing). */
export type LakeColumns = Record<string, Float64Array | string[]>;
/** What a column holds, by its name. */
export type Kinds<Row> = { [Name in keyof Row]: Row[Name] extends number ? 'number' : 'text' };

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

/** Rows looked at for one column after the other while they are near at hand. */
const rowsAtOnce = 128;

/**
 * Rows as columns of the given names and kinds; all columns are there also when there are no rows. Goes through a few rows
 * for all columns before the next few: through many rows for one column would cost several times as much.
 */
export const columnsOf = <Row extends object>(kinds: Kinds<Row>, rows: readonly Row[]): LakeColumns => {
  const names = Object.keys(kinds) as (keyof Row & string)[];
  const columns = names.map((name) =>
    kinds[name] === 'number' ? new Float64Array(rows.length) : new Array<string>(rows.length),
  );
  for (let start = 0; start < rows.length; start += rowsAtOnce)
    for (const [k, name] of names.entries()) fill(columns[k] as (string | number)[], rows, name, start);
  return Object.fromEntries(names.map((name, k) => [name, columns[k]])) as LakeColumns;
};

const fill = <Row extends object>(
  column: (string | number)[],
  rows: readonly Row[],
  name: keyof Row,
  start: number,
): void => {
  const end = Math.min(start + rowsAtOnce, rows.length);
  for (let i = start; i < end; i++) column[i] = (rows[i] as Row)[name] as string | number;
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
