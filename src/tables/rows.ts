import { type ColumnTable, table } from 'arquero';

/** A table from row records, with the named columns in that order; a table of no rows keeps its columns. */
export const tableFromRows = <Row extends object>(
  rows: readonly Row[],
  names: readonly (keyof Row & string)[],
): ColumnTable =>
  table(Object.fromEntries(names.map((name) => [name, rows.map((row) => row[name])])), [...names]);

/** Row records of a table, in its order. */
export const rowsOf = <Row extends object>(source: ColumnTable): Row[] => source.objects() as Row[];

/** Row records of a table with the named columns alone: records of few fields are made many times faster than whole ones. A table of no rows need not have them. */
export const pickedRows = <Row extends object, Name extends keyof Row & string>(
  source: ColumnTable,
  names: readonly Name[],
): Pick<Row, Name>[] =>
  source.numRows() === 0 ? [] : (source.select(...names).objects() as Pick<Row, Name>[]);

/** A table with further columns, one record of them a row, in the table's order; no rows add no columns. */
export const withColumns = <Columns extends object>(
  source: ColumnTable,
  added: readonly Columns[],
): ColumnTable => {
  const names = Object.keys(added[0] ?? {}) as (keyof Columns & string)[];
  return source.assign(tableFromRows(added, names));
};
