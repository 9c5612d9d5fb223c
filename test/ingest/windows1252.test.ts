import { describe, expect, it } from 'vitest';
import { decodedLines } from '../../src/ingest/decodedLines.ts';
import { encodingOf } from '../../src/ingest/encodingOf.ts';

/** Bytes 80 to 9F of Windows-1252 (WHATWG Encoding Standard, index-windows-1252); a dot where none is defined. */
const high =
  '\u20ac.\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152.\u017d..\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153.\u017e\u0178';

describe('Windows-1252', () => {
  it('gives the letters of its standard for bytes 80 to 9F, and no text for the five undefined ones', () => {
    const read = [...high].map((_, i) => {
      const line = decodedLines(Uint8Array.of(0x80 + i), { name: 'windows-1252', mark: 0 }).next();
      return line?.isText === true ? line.text : '.';
    });
    expect(read.join('')).toBe(high);
  });

  it('is recognized in a file that is not UTF-8', () => {
    const bytes = Uint8Array.of(0x4d, 0x9c, 0x72, 0xe9, 0x0a);
    const encoding = encodingOf(bytes);
    expect(encoding?.name).toBe('windows-1252');
    expect(encoding && decodedLines(bytes, encoding).next()?.text).toBe('M\u0153r\u00e9');
  });
});
