/** Rows kept by column, not as records; all columns of one length. */
export type Columns<Row> = { readonly [Name in keyof Row]: ArrayLike<Row[Name]> };

/** The rows from one place of columns up to another, as records. */
export const rowsBetween = <Row extends object>(columns: Columns<Row>, from: number, to: number): Row[] => {
  const names = Object.keys(columns) as (keyof Row)[];
  return Array.from(
    { length: to - from },
    (_, i) => Object.fromEntries(names.map((name) => [name, columns[name][from + i]])) as Row,
  );
};
