import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { writeRejects } from '../../src/lake/writeRejects.ts';
import type { FileSystem } from '../../src/system/fileSystem.ts';

const written = (records: string[][], delimiter: string): string => {
  let text = '';
  const fs = {
    replace: (_: string, next: string) => {
      text = next;
    },
  } as unknown as FileSystem;
  writeRejects(
    'chain',
    [
      {
        path: 'inbox/week.csv',
        delimiter,
        header: ['test_id', 'note'],
        rows: records.map((record, i) => ({ sourceLine: i + 2, record })),
        rejects: [],
      },
    ],
    fs,
  );
  return text;
};

describe('writeRejects', () => {
  it('gives every cell back as sent, whatever ends a line inside it', () => {
    const records = ['one\ntwo', 'one\r\ntwo', 'one\rtwo', 'a "b"', 'a;b', ''].map((note, i) => [
      `T-${i}`,
      note,
    ]);
    for (const delimiter of [',', ';', '\t', '|']) {
      const rows: string[][] = parse(written(records, delimiter), {
        bom: true,
        delimiter,
        record_delimiter: ['\r\n', '\n'],
      });
      expect(rows.slice(1).map((row) => row.slice(0, 2))).toEqual(records);
    }
  });
});
