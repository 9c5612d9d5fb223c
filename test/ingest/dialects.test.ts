import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';
import { describe, expect, it } from 'vitest';
import { delivered } from '../../pipelines/delivered.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { readSentSchemas } from '../../src/ingest/readSchemaFields.ts';
import { senderOf } from '../../src/ingest/senderOf.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';
import { sentTests } from '../normalize/sentTests.ts';

const chain = readChain('test/cases/pollution', diskFileSystem);
const fields = {
  ...readSentSchemas(diskFileSystem),
};
const sheet = parse(readFileSync('test/cases/pollution/clean.csv', 'utf8')) as string[][];
const header = sheet[0] as string[];
const numbers = new Set([
  'billed_weight',
  'received_weight',
  'purge_weight',
  'unit_cost',
  'minutes',
  'output_weight',
]);

const utf16 = (text: string, isLittle: boolean): Uint8Array => {
  const bytes = new Uint8Array(2 * text.length + 2);
  const view = new DataView(bytes.buffer);
  for (const [i, letter] of [...`\ufeff${text}`].entries())
    view.setUint16(2 * i, letter.charCodeAt(0), isLittle);
  return bytes;
};
const encodings: Record<string, (text: string) => Uint8Array> = {
  'UTF-8': (text) => new TextEncoder().encode(text),
  'UTF-8 with mark': (text) => new TextEncoder().encode(`\ufeff${text}`),
  'UTF-16LE': (text) => utf16(text, true),
  'UTF-16BE': (text) => utf16(text, false),
  // The letters of the clean file have the same bytes in Latin-1 and Windows-1252.
  'Windows-1252': (text) => Uint8Array.from(text, (letter) => letter.charCodeAt(0)),
};
const delimiters = { comma: ',', semicolon: ';', tab: '\t', pipe: '|' };
const decimals = ['.', ','];
const dates: Record<string, (iso: string) => string> = {
  ymd: (iso) => iso,
  mdy: (iso) => `${iso.slice(5, 7)}/${iso.slice(8)}/${iso.slice(0, 4)}`,
  dmy: (iso) => `${iso.slice(8)}.${iso.slice(5, 7)}.${iso.slice(0, 4)}`,
};

/** What the night would keep of a file, as text. */
const normalizedBytes = (bytes: Uint8Array, sender = {}): string => {
  const own = delivered(
    { path: 'inbox/sheet.csv', bytes },
    {
      chain: { ...chain, senders: [{ ...senderOf('', []), ...sender }] },
      ...fields,
      asOfDay: dayFromIso('2026-11-23'),
    },
  );
  expect(own.rejects).toEqual([]);
  return JSON.stringify(
    sentTests(own.versions).map(({ test: { byteOffset, ...test }, outputs }) => [test, outputs]),
  );
};
const rewritten = (decimal: string, order: string, delimiter: string): string =>
  stringify(
    sheet.map((row, i) =>
      i === 0
        ? row
        : row.map((cell, k) => {
            if (header[k] === 'cut_date') return (dates[order] as (iso: string) => string)(cell);
            return numbers.has(header[k] as string) ? cell.replace('.', decimal) : cell;
          }),
    ),
    { delimiter, record_delimiter: '\r\n' },
  );

describe('dialects', () => {
  const truth = normalizedBytes(readFileSync('test/cases/pollution/clean.csv'));
  const combinations = Object.keys(encodings).flatMap((encoding) =>
    Object.keys(delimiters).flatMap((mark) =>
      decimals.flatMap((decimal) => Object.keys(dates).map((order) => ({ encoding, mark, decimal, order }))),
    ),
  );
  it('are 120 combinations of encoding, delimiter, decimal mark and date order', () => {
    expect(combinations).toHaveLength(120);
    expect(truth.length).toBeGreaterThan(10_000);
  });
  it.each(combinations)(
    '$encoding, $mark, decimal $decimal, dates $order: the same normalized bytes',
    (one) => {
      const text = rewritten(one.decimal, one.order, delimiters[one.mark as keyof typeof delimiters]);
      const bytes = (encodings[one.encoding] as (text: string) => Uint8Array)(text);
      expect(normalizedBytes(bytes)).toBe(truth);
    },
  );
  it('are read the same when the sender pins them', () => {
    const text = rewritten(',', 'dmy', '|');
    const pins = { encoding: 'windows-1252', delimiter: '|', decimal: ',', dates: 'dmy' };
    expect(normalizedBytes((encodings['Windows-1252'] as (text: string) => Uint8Array)(text), pins)).toBe(
      truth,
    );
  });
});
