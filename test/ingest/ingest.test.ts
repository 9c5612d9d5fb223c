import { describe, expect, it } from 'vitest';
import { ingest } from '../../src/ingest/ingest.ts';
import type { SchemaField } from '../../src/ingest/ingested.ts';
import { senderOf } from '../../src/ingest/senderOf.ts';

const fields: SchemaField[] = [
  { name: 'test_id', type: 'string', constraints: { required: true } },
  { name: 'cut_date', type: 'date', constraints: { required: true } },
  { name: 'weight', type: 'number', constraints: { required: true, exclusiveMinimum: 0 } },
  { name: 'unit', type: 'string' },
];
const limits = { file_mb: 1, record_kb: 8, cell_kb: 1, columns: 10, rows: 100 };
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
const rows = (table: ReturnType<typeof read>) =>
  table.lines.runs.map((run, i) => [
    ...table.lines.shared.slice(0, 3).map((column) => column[run]),
    table.lines.sourceLine[i],
  ]);

describe('ingest', () => {
  it('reads a plain file and counts blank lines', () => {
    const table = read('test_id;cut_date;weight\n007;2026-01-02;1,5\n\n008;2026-01-03;2,25\n');
    expect(table.state).toBe('ingested');
    expect(rows(table)).toEqual([
      ['007', 20455, 1.5, 2],
      ['008', 20456, 2.25, 4],
    ]);
    expect([table.rowsRead, table.blank]).toEqual([3, 1]);
  });
  it('counts the column names again as no row, also where the name of the day has a digit', () => {
    const head = 'test_id;day 1;weight\n';
    const table = read(`${head}a;2026-01-02;1\n${head.toUpperCase()}b;2026-01-02;2\n`, {
      columns: { cut_date: 'day 1' },
    });
    expect([rows(table).map(([id]) => id), table.ignored, table.rejects]).toEqual([['a', 'b'], 1, []]);
  });
  it('says what is wrong with each cell, where, and how to mend it', () => {
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
    expect(codes('test_id,cut_date,weight,unitt\na,2026-01-02,1,lb\n')).toEqual(['column-doubtful']);
    expect(codes('one|two\n1|2\n')).toEqual(['header-unknown']);
    expect(codes('')).toEqual(['header-unknown']);
  });
  it('refuses the row of a broken quote where the next row is whole, else the file at that line', () => {
    const head = 'test_id,cut_date,weight\n';
    expect(read(`${head}"a,2026-01-02,1\nb,2026-01-02,1\n`)).toMatchObject({
      state: 'ingested',
      rejects: [{ code: 'quote-broken', sourceLine: 2 }],
      lines: { sourceLine: [3] },
    });
    expect(read(`${head}a,2026-01-02,1\n"b,2026-01-02,1\nmore text\n`)).toMatchObject({
      state: 'quarantined',
      rejects: [{ code: 'quote-broken', sourceLine: 3, byteOffset: 39 }],
    });
  });
  it('refuses a row of which one line is not in the encoding of the file, and names that line', () => {
    const latin = Uint8Array.from('e","2026-01-02",1\n', (letter) => letter.charCodeAt(0));
    const turned = [...Buffer.from('test_id,cut_date,weight\né,2026-01-02,1\n"b\n'), 0xe9, ...latin];
    const table = read(Uint8Array.from([...turned, ...Buffer.from('c,2026-01-02,1\n')]));
    expect(table).toMatchObject({
      state: 'ingested',
      rejects: [
        {
          code: 'encoding-invalid',
          sourceLine: 3,
          byteOffset: 40,
          expected: 'text in the encoding of the file; line 4 is not',
        },
      ],
      lines: { sourceLine: [2, 5] },
    });
  });
  it('says of column names in another encoding than the rows that it is the encoding', () => {
    const names = [...Buffer.from('test_id,cut_date,weight,k'), 0xfc, ...Buffer.from('hl\n')];
    expect(read(Uint8Array.from([...names, ...Buffer.from('é,2026-01-02,1,x\n')]))).toMatchObject({
      state: 'quarantined',
      rejects: [{ code: 'encoding-invalid', sourceLine: 1, expected: 'text in one encoding' }],
    });
  });
  it('refuses rows that stand in the line of the column names behind other line ends', () => {
    const text = 'test_id,cut_date,weight,note\na,2026-01-02,1,x\nb,2026-01-02,1,y\n';
    for (const end of ['\u2028', '\u0085', '\v', '\r'])
      expect(read(`${text.trimEnd().replaceAll('\n', end)}\n`)).toMatchObject({
        state: 'quarantined',
        rejects: [{ code: 'header-unknown', expected: 'lines that all end in LF, CRLF, or CR alone' }],
      });
    expect(rows(read(text.trimEnd().replaceAll('\n', '\r'))).map(([id]) => id)).toEqual(['a', 'b']);
  });
  it('says which mark a first line names where no column names are parted by it', () => {
    const table = 'test_id,cut_date,weight\na,2026-01-02,1\n';
    expect(read(`sep=,\n${table}`)).toMatchObject({ state: 'ingested', rejects: [] });
    expect(read(`sep=;\n${table}`).rejects).toMatchObject([
      {
        code: 'header-unknown',
        found: 'sep=;',
        expected: 'a line of column names with ";" between them, as the first line says',
      },
    ]);
  });
  it('reads pinned dialects and headers of the sender; pounds and ounces only under lb-oz', () => {
    const over = { dates: 'mdy', columns: { test_id: 'nr', cut_date: ['day', 'date'], weight: 'lb' } };
    expect(rows(read('nr\tday\tlb\tunit\nx\t04/03/2026\t38-12\tlb-oz\n', over))[0]).toEqual([
      'x',
      20546,
      38.75,
      2,
    ]);
    expect(codes('nr\tday\tlb\tunit\nx\t04/03/2026\t38-12\tkg\n', over)).toEqual(['number-invalid']);
    expect(codes('nr\tday\tlb\tunit\nx\t04/03/2026\t38.12\tlb-oz\n', over)).toEqual(['number-invalid']);
  });
});
