import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { shortNumber } from '../../src/ingest/shortNumber.ts';

describe('shortNumber', () => {
  it('reads digits with one mark to the last bit as Number does', () => {
    const digits = fc.stringMatching(/^\d{0,15}$/);
    fc.assert(
      fc.property(digits, digits, (whole, part) => {
        const text = `${whole}.${part}`;
        const count = text.length - 1;
        const truth = count === 0 || count > 15 ? Number.NaN : Number(text);
        expect(shortNumber(text, '.')).toBe(truth);
        expect(shortNumber(text.replace('.', ','), ',')).toBe(truth);
        expect(shortNumber(whole, '.')).toBe(whole === '' ? Number.NaN : Number(whole));
      }),
      { numRuns: 2000 },
    );
  });
  it('leaves all other texts to the rules for them', () => {
    for (const text of [
      '',
      '.',
      '-1',
      '+1',
      '1e3',
      '1.2.3',
      '1,234',
      '1 000',
      ' 1',
      '0x10',
      '٣',
      '1234567890123456',
    ])
      expect(shortNumber(text, '.')).toBeNaN();
  });
});
