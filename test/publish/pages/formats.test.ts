import { describe, expect, it } from 'vitest';
import { formats } from '../../../src/publish/pages/formats.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });

describe('how numbers and days are written', () => {
  it('writes money whole from 10 up, and both ends of a range alike', () => {
    expect(write.money(15.12)).toBe('$15');
    expect(write.money(9.5)).toBe('$9.50');
    expect(write.money(-12.4)).toBe('−$12');
    expect(write.moneyRange(8.2, 21.98)).toBe('$8 to $22');
    expect(write.moneyRange(1.5, 3)).toBe('$1.50 to $3.00');
  });
  it('never writes a chance as none or all', () => {
    expect(write.chance(0.001)).toBe('under 1 %');
    expect(write.chance(0.59)).toBe('59 %');
    expect(write.chance(0.9999)).toBe('over 99 %');
  });
  it('says what is not known, and writes no negative zero', () => {
    for (const print of [write.money, write.cents, write.tenths, write.signed, write.percent, write.chance])
      expect(print(Number.NaN)).toBe('not known');
    expect(write.tenths(-0)).toBe('0.0');
  });
  it('writes days and months in the chain’s language, the same in any time zone', () => {
    expect(write.day('2026-11-23')).toBe('Nov 23, 2026');
    expect(write.day('')).toBe('');
    expect(write.month('2026-11')).toBe('Nov 2026');
    expect(formats({ language: 'de', currency: 'EUR', unit: 'kg' }).day('2026-11-23')).toBe('23.11.2026');
  });
});
