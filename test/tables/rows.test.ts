import { describe, expect, it } from 'vitest';
import { pickedRows, rowsOf, tableFromRows, withColumns } from '../../src/tables/rows.ts';

type Row = { store: string; kg: number; note: string };
const rows: Row[] = [
  { store: 's-2', kg: 1, note: 'b' },
  { store: 's-1', kg: Number.NaN, note: 'a' },
];
const table = tableFromRows(rows, ['store', 'kg', 'note']);

describe('row records of tables', () => {
  it('come back as they went in, in order', () => {
    expect(rowsOf(table)).toEqual(rows);
  });
  it('hold the named columns alone', () => {
    expect(pickedRows<Row, 'kg' | 'store'>(table, ['kg', 'store'])).toEqual([
      { kg: 1, store: 's-2' },
      { kg: Number.NaN, store: 's-1' },
    ]);
  });
  it('of an empty table are none, whatever columns are named', () => {
    expect(pickedRows<Row, 'kg'>(tableFromRows<Row>([], ['store', 'kg', 'note']), ['kg'])).toEqual([]);
  });
  it('can be widened by records in the same order', () => {
    expect(rowsOf(withColumns(table, [{ lb: 2 }, { lb: 3 }]))).toEqual(
      rows.map((row, i) => ({ ...row, lb: i + 2 })),
    );
  });
});
