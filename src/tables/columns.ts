import type { ColumnTable } from 'arquero';

/** A numeric column as a Float64Array of the table's length (kept order); throws when the column is absent. */
export const numbersOf = (table: ColumnTable, name: string): Float64Array =>
  Float64Array.from(cells(table, name) as Iterable<number>);

/** A text column as an array of strings of the table's length; throws when the column is absent. */
export const textsOf = (table: ColumnTable, name: string): string[] =>
  Array.from(cells(table, name), (cell) => String(cell));

const cells = (table: ColumnTable, name: string): Iterable<unknown> => {
  if (table.numRows() === 0) return [];
  if (table.columnIndex(name) < 0)
    throw new Error(`columns: no column ${name} among ${table.columnNames().length}`);
  return table.array(name) as Iterable<unknown>;
};

/** Integer codes of texts: levels sorted by code unit, codes[i] the place of texts[i] among them. */
export const codesOf = (texts: readonly string[]): { codes: Int32Array; levels: string[] } => {
  const levels = [...new Set(texts)].sort();
  const placeOf = new Map(levels.map((level, place) => [level, place]));
  return {
    codes: Int32Array.from(texts, (text) => placeOf.get(text) as number),
    levels,
  };
};
