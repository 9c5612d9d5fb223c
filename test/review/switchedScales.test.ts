import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type SheetSlip, switchedScales } from '../../src/review/switchedScales.ts';

const slip = (sizeOdds: number, habit = 0): SheetSlip => ({
  key: 'lb as kg',
  prior: 1e-3,
  habit,
  sizeOdds,
});
/** 8,000 sheets, of which so many are plainly in the other unit. */
const night = (made: number, habit = 0): SheetSlip[][] =>
  Array.from({ length: 8000 }, (_, i) => [slip(i < made ? 1e9 : 1e-9, habit)]);

describe('switchedScales', () => {
  it('is a quarter where nothing is known', () => {
    expect(switchedScales([])('lb as kg')).toBe(0.25);
  });

  it('counts what was made against what was to be expected, drawn to a quarter as by one mistake', () => {
    // (8 made + 1) / (8,000 x 0.001 expected + 1 / 0.25)
    expect(switchedScales(night(8))('lb as kg')).toBeCloseTo(9 / 12, 4);
    expect(switchedScales(night(0))('lb as kg')).toBeCloseTo(1 / 12, 4);
  });

  it('leaves to the habit of the store what it explains', () => {
    expect(switchedScales(night(8, 99))('lb as kg')).toBeLessThan(0.1);
  });

  it('leaves to a slip of the decimal point what that explains', () => {
    const tenfold = night(8).map((slips) => [
      ...slips,
      { ...slip(1e6 * (slips[0] as SheetSlip).sizeOdds), key: '' },
    ]);
    expect(switchedScales(tenfold)('lb as kg')).toBeLessThan(0.1);
  });

  it('does not depend on the order of the sheets', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 1e-6, max: 1e8, noNaN: true }), { minLength: 1, maxLength: 30 }),
        (odds) => {
          const sheets = odds.map((one) => [slip(one)]);
          expect(switchedScales(sheets.toReversed())('lb as kg')).toBeCloseTo(
            switchedScales(sheets)('lb as kg'),
            9,
          );
        },
      ),
    );
  });
});
