import fc from 'fast-check';
import { parquetMetadata, parquetReadObjects } from 'hyparquet';
import { describe, expect, it } from 'vitest';
import { parquetTable, type TypedField } from '../../../src/publish/results/parquetTable.ts';

const fields: TypedField[] = [
  { name: 'store', type: 'string' },
  { name: 'weight', type: 'number' },
  { name: 'line', type: 'integer' },
  { name: 'cut_date', type: 'date' },
  { name: 'silent', type: 'boolean' },
];
const readBack = (bytes: Uint8Array) => parquetReadObjects({ file: bytes.slice().buffer as ArrayBuffer });

describe('parquetTable', () => {
  it('is read by another program with types, missing values and every digit', async () => {
    const bytes = parquetTable(fields, [
      { store: 's-1', weight: '0.1', line: '7', cut_date: '2026-11-23', silent: 'true' },
      { store: '', weight: '', line: '', cut_date: '', silent: '' },
      {
        store: 'Señal "7"',
        weight: '12.000000000000002',
        line: '5000000',
        cut_date: '2000-02-29',
        silent: 'false',
      },
    ]);
    expect(await readBack(bytes)).toEqual([
      { store: 's-1', weight: 0.1, line: 7, cut_date: new Date('2026-11-23'), silent: true },
      { store: '', weight: null, line: null, cut_date: null, silent: null },
      {
        store: 'Señal "7"',
        weight: 12.000000000000002,
        line: 5_000_000,
        cut_date: new Date('2000-02-29'),
        silent: false,
      },
    ]);
  });

  it('keeps its columns without rows', () => {
    const bytes = parquetTable(fields, []);
    const { schema, num_rows } = parquetMetadata(bytes.buffer as ArrayBuffer);
    expect(Number(num_rows)).toBe(0);
    expect(schema.slice(1).map((column) => [column.name, column.type])).toEqual([
      ['store', 'BYTE_ARRAY'],
      ['weight', 'DOUBLE'],
      ['line', 'INT32'],
      ['cut_date', 'INT32'],
      ['silent', 'BOOLEAN'],
    ]);
  });

  it('gives any rows back', async () => {
    const cell = fc.record({
      store: fc.string({ unit: 'grapheme' }),
      weight: fc.oneof(fc.constant(''), fc.double({ noNaN: true, noDefaultInfinity: true }).map(String)),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(cell, { minLength: 1, maxLength: 40 }), async (rows) => {
        const back = await readBack(parquetTable(fields.slice(0, 2), rows));
        expect(back).toEqual(
          rows.map(({ store, weight }) => ({ store, weight: weight === '' ? null : Number(weight) })),
        );
      }),
    );
  });
});
