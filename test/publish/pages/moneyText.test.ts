import { describe, expect, it } from 'vitest';
import { formats } from '../../../src/publish/pages/formats.ts';
import { moneyAside, moneyText } from '../../../src/publish/pages/moneyText.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });

describe('an amount of money', () => {
  it('is never told without its interval', () => {
    const sum = { value: 68.4, low: 35.2, high: 99.9 };
    expect(moneyText(sum, 'a week', write)).toBe('about $68 a week ($35 to $100)');
    expect(moneyAside(sum, 'a week', write)).toEqual({ worth: '$68', worthNote: 'a week, $35 to $100' });
  });
  it('may be nothing where the interval reaches down to 0, and all three are written alike', () => {
    const sum = { value: 8.2, low: -0.79, high: 17 };
    expect(moneyText(sum, 'a week', write)).toBe('about $8 a week, perhaps nothing (−$1 to $17)');
    expect(moneyAside(sum, 'a week', write)).toEqual({
      worth: '$8',
      worthNote: 'a week, −$1 to $17: perhaps nothing',
    });
    expect(moneyText({ ...sum, low: 0 }, 'a week', write)).toContain('perhaps nothing');
    expect(moneyText({ ...sum, low: 0.01 }, 'a week', write)).not.toContain('nothing');
  });
});
