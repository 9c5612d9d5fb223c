import { describe, expect, it } from 'vitest';
import type { UnpricedRow } from '../../../src/findings/merchandise/unpricedRows.ts';
import { formats } from '../../../src/publish/pages/formats.ts';
import { pricingActions, pricingNote } from '../../../src/publish/pages/pricingNotes.ts';

const write = formats({ language: 'en-US', currency: 'USD', unit: 'lb' });
const row = (output: string, outputClass: string, shareOfCut: number, testsWithout = 30): UnpricedRow => ({
  output,
  outputClass,
  tests: 30,
  testsWithout,
  kg: 100 * shareOfCut,
  shareOfCut,
});
const priced = { known: 30, negative: 15 };

describe('what is said of outputs without a price', () => {
  it('is nothing where all are priced and no more than half sell below cost', () => {
    expect(pricingActions({ unpriced: [], margins: priced }, write)).toEqual([]);
    expect(pricingActions({ unpriced: [], margins: { known: 0, negative: 0 } }, write)).toEqual([]);
    expect(pricingNote({ unpriced: [], margins: priced }, write)).toBe('');
  });

  it('names them, their share and tests, which way the figures are off, and that most tests sell below cost', () => {
    const unpriced = [row('trim', 'lean trim', 0.12), row('fat', 'fat', 0.081, 7)];
    const [action] = pricingActions({ unpriced, margins: { known: 30, negative: 28 } }, write);
    expect(action?.what).toBe('Price trim, fat: without a price they count as 0');
    expect(action?.why).toBe(
      'trim is 12.0 % of the weight cut (30 tests), fat is 8.1 % of the weight cut (7 of 30 tests). Sales value and margins read too low, what habits cost that put meat into them too high, the cost of a saleable weight too high. 28 of 30 tests sell for less than the meat cost.',
    );
    expect(pricingNote({ unpriced, margins: priced }, write)).toContain(
      'Not priced, so counted as 0: trim is',
    );
  });

  it('says of a cut that its loss reads too low, and nothing of meat that would have gone into it', () => {
    const [action] = pricingActions({ unpriced: [row('cap', 'other cut', 0.05)], margins: priced }, write);
    expect(action?.why).toContain('margins read too low, what habits lose of these cuts too low.');
    expect(action?.why).not.toContain('sell for less');
  });

  it('asks for costs and prices where all is priced and most tests still sell below cost', () => {
    const [action] = pricingActions({ unpriced: [], margins: { known: 30, negative: 16 } }, write);
    expect(action?.what).toBe('Check costs and prices: most tests sell for less than the meat cost');
    expect(action?.why).toContain('16 of 30 tests sell for less');
  });
});
