import { readFileSync } from 'node:fs';

const clean = readFileSync('test/cases/pollution/clean.csv', 'utf8');
const [header = '', ...rows] = clean.trimEnd().split('\n');
const megabyte = 1 << 20;
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

/** Files made to break a reader, each with the code it must be refused by. */
export const hostileFiles: Record<string, { content: () => Uint8Array; code: string }> = {
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
