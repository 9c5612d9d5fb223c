import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { delivered } from '../../pipelines/delivered.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { readSchemaFields } from '../../src/ingest/readSchemaFields.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

const chain = readChain('test/cases/pollution', diskFileSystem);
const setting = {
  chain,
  tests: readSchemaFields('cutting-tests', diskFileSystem),
  portions: readSchemaFields('portions', diskFileSystem),
  asOfDay: dayFromIso('2026-11-23'),
};
const clean = readFileSync('test/cases/pollution/clean.csv', 'utf8');
const [header = '', ...rows] = clean.trimEnd().split('\n');
const megabyte = 1 << 20;
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

const hostile: Record<string, { content: () => Uint8Array; code: string }> = {
  '10 MB in one quote on one line': {
    content: () => bytes(`${header}\n"${'x'.repeat(10 * megabyte)}`),
    code: 'limit-exceeded',
  },
  '10 MB in one quote over many lines': {
    content: () => bytes(`${header}\n"${'some text, and more\n'.repeat(megabyte / 2)}`),
    code: 'quote-broken',
  },
  '10 MB of lines that each open a quote': {
    content: () => bytes(`${header}\n${'"some text, and more\n'.repeat(megabyte / 2)}`),
    code: 'quote-broken',
  },
  '10,000 columns': {
    content: () =>
      bytes(`${header},${Array.from({ length: 10_000 }, (_, i) => `c${i}`).join(',')}\n${rows[0]}\n`),
    code: 'limit-exceeded',
  },
  '10,000 columns, none known': {
    content: () => bytes(`${Array.from({ length: 10_000 }, (_, i) => `c${i}`).join(',')}\n`),
    code: 'header-unknown',
  },
  '10 MB of NULs': { content: () => new Uint8Array(10 * megabyte), code: 'encoding-invalid' },
  'a cell of 2 MB': {
    content: () => bytes(`${clean}${rows[0]}${'x'.repeat(2 * megabyte)}\n`),
    code: 'limit-exceeded',
  },
  '10 MB of delimiters': {
    content: () => bytes(`${header}\n${','.repeat(10 * megabyte)}\n`),
    code: 'limit-exceeded',
  },
  '10 MB of quotes': {
    content: () => bytes(`${header}\n${'"'.repeat(10 * megabyte)}`),
    code: 'limit-exceeded',
  },
  '10 MB of empty lines before anything': {
    content: () => bytes('\n'.repeat(10 * megabyte)),
    code: 'header-unknown',
  },
  '10 MB without a header': { content: () => bytes('x'.repeat(10 * megabyte)), code: 'limit-exceeded' },
};

describe('hostile files', () => {
  it.each(Object.keys(hostile))('%s: refused within 2 s of work and 64 MiB of growth', (name) => {
    const { content, code } = hostile[name] as (typeof hostile)[string];
    const file = { path: 'inbox/hostile.csv', bytes: content() };
    globalThis.gc?.();
    const before = process.memoryUsage().rss;
    const began = process.cpuUsage();
    const own = delivered(file, setting);
    const { user, system } = process.cpuUsage(began);
    expect((user + system) / 1e6).toBeLessThan(2);
    expect((process.memoryUsage().rss - before) / megabyte).toBeLessThan(64);
    expect(own.table.state).toBe('quarantined');
    expect(own.rejects.map((reject) => reject.code)).toEqual([code]);
    expect(own.versions).toEqual([]);
  });
});
