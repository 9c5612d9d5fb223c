import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fileKind } from '../../src/ingest/fileKind.ts';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

describe('fileKind', () => {
  it('names workbooks, archives, pages and other files by their first bytes or name', () => {
    expect(fileKind('a.csv', Uint8Array.of(0x50, 0x4b, 3, 4))).toContain('workbook');
    expect(fileKind('a.csv', Uint8Array.of(0x1f, 0x8b, 8))).toContain('compressed');
    expect(fileKind('a.csv', bytes('\ufeff  <HTML lang="en">'))).toContain('web page');
    expect(fileKind('north/week.txt', bytes('a,b\n'))).toBe('a file named week.txt');
  });
  it('lets pass what begins like text, and a file of nothing', () => {
    expect(fileKind('a.csv', bytes('test_id,store\n'))).toBe('');
    expect(fileKind('a.CSV', new Uint8Array())).toBe('');
    fc.assert(fc.property(fc.stringMatching(/^[\w,; ]*$/), (text) => fileKind('a.csv', bytes(text)) === ''));
  });
});
