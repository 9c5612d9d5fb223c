import { describe, expect, it } from 'vitest';
import { decodeText } from '../../src/ingest/decodeText.ts';
import { ingest } from '../../src/ingest/ingest.ts';
import type { SchemaField } from '../../src/ingest/ingested.ts';
import { senderOf } from '../../src/ingest/senderOf.ts';

const fields: SchemaField[] = [
  { name: 'test_id', type: 'string', constraints: { required: true } },
  { name: 'cut_date', type: 'date', constraints: { required: true } },
  { name: 'weight', type: 'number', constraints: { required: true, exclusiveMinimum: 0 } },
];
const limits = { file_mb: 1, record_kb: 1, cell_kb: 1, columns: 10, rows: 100 };
const read = (text: string | Uint8Array, over = {}) =>
  ingest(
    {
      path: 'f.csv',
      bytes: typeof text === 'string' ? new TextEncoder().encode(text) : text,
      sender: { ...senderOf('', []), ...over },
      fields,
    },
    { limits, asOfDay: 20780 },
  );
const codes = (text: string, over = {}): string[] => read(text, over).rejects.map((reject) => reject.code);

describe('ingest', () => {
  it('reads a plain file and counts blank lines', () => {
    const table = read('test_id;cut_date;weight\n007;2026-01-02;1,5\n\n008;2026-01-03;2,25\n');
    expect(table.state).toBe('ingested');
    expect(
      table.lines.map((line) => [line.values['test_id'], line.values['weight'], line.sourceLine]),
    ).toEqual([
      ['007', 1.5, 2],
      ['008', 2.25, 4],
    ]);
    expect([table.rowsRead, table.blank]).toEqual([3, 1]);
  });
  it('says what is wrong with each cell and keeps the record', () => {
    const table = read(
      'test_id,cut_date,weight\na,2026-02-30,1.5\nb,2030-01-01,1\nc,2026-01-01,x\nd,2026-01-01,-1\n,2026-01-01,1\ne,26-01-01,1\n',
    );
    expect(table.rejects.map((reject) => [reject.code, reject.sourceLine, reject.field])).toEqual([
      ['date-invalid', 2, 'cut_date'],
      ['date-future', 3, 'cut_date'],
      ['number-invalid', 4, 'weight'],
      ['number-out-of-range', 5, 'weight'],
      ['value-missing', 6, 'test_id'],
      ['date-invalid', 7, 'cut_date'],
    ]);
    expect(table.refused).toHaveLength(6);
    expect(table.rejects[2]?.byteOffset).toBe(
      'test_id,cut_date,weight\na,2026-02-30,1.5\nb,2030-01-01,1\n'.length,
    );
  });
  it('refuses what can be read in two ways and asks for a line in the chain file', () => {
    expect(codes('test_id,cut_date,weight\na,03/04/2026,1.5\n')).toEqual(['date-order-ambiguous']);
    expect(codes('test_id;cut_date;weight\na;2026-01-02;1,234\n')).toEqual(['decimal-ambiguous']);
    expect(codes('test_id,cut_date\na,2026-01-02\n')).toEqual(['column-missing']);
    expect(codes('test_id,cut_date,weight,Weight\na,2026-01-02,1,1\n')).toEqual(['column-duplicate']);
    expect(codes('test_id,cut_date,weight\n"a,2026-01-02,1\n')).toEqual(['quote-broken']);
    expect(codes('one|two\n1|2\n')).toEqual(['delimiter-ambiguous']);
  });
  it('reads pinned dialects, pounds and ounces, and headers of the sender', () => {
    const table = read('nr\tday\tlb\nx\t04/03/2026\t38-12\n', {
      dates: 'mdy',
      columns: { test_id: 'nr', cut_date: 'day', weight: 'lb' },
    });
    expect(table.lines[0]?.values['weight']).toBe(38.75);
  });
  it('decodes by mark, by pin, and never with replacement characters', () => {
    expect(decodeText(new Uint8Array([0xff, 0xfe, 0x61, 0]))).toBe('a');
    expect(decodeText(new Uint8Array([0xe9]), 'utf-8')).toBeUndefined();
    expect(decodeText(new Uint8Array([0xe9]))).toBe('\u00e9');
  });
});
