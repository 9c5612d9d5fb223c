import { type ColumnTable, table } from 'arquero';

/** A table from row records, with the named columns in that order; a table of no rows keeps its columns. */
export const tableFromRows = <Row extends object>(
  rows: readonly Row[],
  names: readonly (keyof Row & string)[],
): ColumnTable =>
  table(Object.fromEntries(names.map((name) => [name, rows.map((row) => row[name])])), [...names]);

/** Row records of a table, in its order. */
export const rowsOf = <Row extends object>(source: ColumnTable): Row[] => source.objects() as Row[];
