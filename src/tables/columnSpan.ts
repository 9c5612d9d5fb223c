/** Rows kept by column, not as records: those from one place of the columns up to another. */
export type ColumnSpan<Row> = {
  columns: { readonly [Name in keyof Row]: ArrayLike<Row[Name]> };
  from: number;
  to: number;
};

/** The rows of a span as records of their own. */
export const spanRows = <Row extends object>({ columns, from, to }: ColumnSpan<Row>): Row[] => {
  const names = Object.keys(columns) as (keyof Row)[];
  return Array.from(
    { length: to - from },
    (_, i) => Object.fromEntries(names.map((name) => [name, columns[name][from + i]])) as Row,
  );
};
