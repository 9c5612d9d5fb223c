import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodedLines } from '../../src/ingest/decodedLines.ts';
import { encodingOf } from '../../src/ingest/encodingOf.ts';
import { type DelimitedRecord, splitRecords } from '../../src/ingest/splitRecords.ts';

const recordsOf = (bytes: Uint8Array, delimiter = ',', width = 0): DelimitedRecord[] => {
  const next = splitRecords(
    decodedLines(bytes, encodingOf(bytes) ?? { name: 'utf-8', mark: 0 }).next,
    delimiter,
    {
      width: () => width,
      recordLength: 1 << 20,
    },
  );
  const records: DelimitedRecord[] = [];
  for (let record = next(); record !== undefined; record = next()) records.push(record);
  return records;
};
const cellsOf = (text: string, delimiter = ','): string[][] =>
  recordsOf(new TextEncoder().encode(text), delimiter).map((record) => record.cells);

const spectrum = dirname(createRequire(import.meta.url).resolve('csv-spectrum'));
const samples = [
  'comma_in_quotes',
  'empty',
  'empty_crlf',
  'escaped_quotes',
  'json',
  'location_coordinates',
  'newlines',
  'newlines_crlf',
  'quotes_and_newlines',
  'simple',
  'simple_crlf',
  'utf8',
];

describe('splitRecords', () => {
  it.each(samples)('reads %s of csv-spectrum 2.0.0 as its own JSON has it', (name) => {
    const bytes = readFileSync(join(spectrum, 'csvs', `${name}.csv`));
    const [header = [], ...rows] = recordsOf(bytes).map((record) => record.cells);
    const found = rows.map((row) => Object.fromEntries(row.map((cell, i) => [header[i], cell])));
    const unified = (text: string): string => text.replaceAll('\\r\\n', '\\n');
    const stated = [JSON.parse(readFileSync(join(spectrum, 'json', `${name}.json`), 'utf8'))].flat();
    // The package's JSON for this file has another telephone number than its CSV; all other cells must agree.
    if (name === 'location_coordinates') stated[0]['Contact Phone Number'] = '2095257564';
    expect(unified(JSON.stringify(found))).toBe(unified(JSON.stringify(stated)));
  });

  it('reads what csv-stringify writes exactly as csv-parse does, for any cells', () => {
    const cell = fc.oneof(
      fc.string({ maxLength: 6 }),
      fc.constantFrom('"', '""', ',', 'a,b', '\n', 'x\ny', ';', ' '),
    );
    const plain = cell.map((text) => text.replaceAll('\r', ''));
    fc.assert(
      fc.property(
        fc.array(fc.array(plain, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 6 }),
        fc.constantFrom(',', ';', '\t', '|'),
        (rows, delimiter) => {
          const text = stringify(rows, { delimiter });
          const oracle = parse(text, { delimiter, relax_column_count: true }) as string[][];
          expect(cellsOf(text, delimiter)).toEqual(oracle);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('gives each record the line and byte it starts at, in every encoding', () => {
    const text = 'a,b\né,"x\ny"\n\n1,2\n';
    const utf8 = recordsOf(new TextEncoder().encode(text));
    expect(utf8.map((record) => [record.sourceLine, record.byteOffset])).toEqual([
      [1, 0],
      [2, 4],
      [4, 13],
      [5, 14],
    ]);
    const latin = recordsOf(Uint8Array.from(text, (letter) => letter.charCodeAt(0)));
    expect(latin.map((record) => record.byteOffset)).toEqual([0, 4, 12, 13]);
    const units = Uint16Array.from(`\ufeff${text}`, (letter) => letter.charCodeAt(0));
    const wide = recordsOf(new Uint8Array(units.buffer));
    expect(wide.map((record) => record.byteOffset)).toEqual([2, 10, 26, 28]);
  });

  it('loses only the line of a broken quote and reads on with the next', () => {
    const records = recordsOf(new TextEncoder().encode('a,b\n1,"x\n2,y\n3,"z"w\n4,v\n'), ',', 2);
    expect(records.map((record) => [record.sourceLine, record.fault])).toEqual([
      [1, ''],
      [2, 'broken'],
      [3, ''],
      [4, 'broken'],
      [5, ''],
    ]);
  });

  it('says so where a quoted cell swallows what look like whole rows', () => {
    const rows = 'a,b,c,d\n1,2,3,"x\n1,2,3,4\ny"\n';
    expect(recordsOf(new TextEncoder().encode(rows), ',', 4).map((record) => record.fault)).toEqual([
      '',
      'swallows',
    ]);
  });
});
