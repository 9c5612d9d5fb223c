import type { NormalizedOutput, NormalizedTest } from '../normalize/normalized.ts';
import type { LakeVersion } from './lakeRows.ts';
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

/** The columns of outputs, in the order the lake keeps them. */
export const outputColumns: Kinds<NormalizedOutput> = {
  store: 'text',
  testId: 'text',
  output: 'text',
  outputClass: 'text',
  outputKg: 'number',
  weightAsSent: 'number',
  pieces: 'number',
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

/** The columns of tests and of their outputs, in the order of the versions, each row with its batch. */
export const versionColumns = (
  versions: readonly LakeVersion[],
): { tests: LakeColumns; outputs: LakeColumns } => ({
  tests: {
    ...columnsOf(
      testColumns,
      versions.map((version) => version.test),
    ),
    batch: versions.map((version) => version.batch),
    rows: numbersOf(versions, (version) => version.rows),
  },
  outputs: {
    ...columnsOf(
      outputColumns,
      versions.flatMap((version) => version.outputs),
    ),
    batch: versions.flatMap((version) => version.outputs.map(() => version.batch)),
  },
});
