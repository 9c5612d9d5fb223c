import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { indifferenceInterval, indifferencePrice } from '../../src/money/indifferencePrice.ts';
import { indifferenceSentence } from '../../src/money/indifferenceSentence.ts';
import { quadraticForm } from '../../src/tables/quadraticForm.ts';

const a = { value: 14, labor: 1 };
const b = { value: 14.4, labor: 0.8 };
const spread = { varianceA: 0.01, varianceB: 0.02, covariance: 0.005, laborVariance: 0.0025 };

describe('indifference price', () => {
  it('is the price asked when the ranges are worth the same, in both forms', () => {
    expect(indifferencePrice(9.2, a, a)).toEqual({ sameMargin: 9.2, sameDollars: 9.2 });
    const other = indifferencePrice(10, { value: 20, labor: 0 }, { value: 22, labor: 0.5 });
    expect(other.sameMargin).toBeCloseTo(11, 12);
    expect(other.sameDollars).toBeCloseTo(11.5, 12);
  });
  it('has delta-method intervals worked by hand', () => {
    const { sameMargin, sameDollars } = indifferenceInterval(9.2, [a, b], spread);
    const ofLog = 0.01 / 196 + 0.02 / 207.36 - 0.01 / 201.6;
    expect(sameMargin.price).toBeCloseTo((9.2 * 14.4) / 14, 12);
    expect(Math.log(sameMargin.high / sameMargin.price)).toBeCloseTo(1.959964 * Math.sqrt(ofLog), 6);
    expect(Math.log(sameMargin.price / sameMargin.low)).toBeCloseTo(1.959964 * Math.sqrt(ofLog), 6);
    expect(sameDollars.price).toBeCloseTo(9.8, 12);
    expect(sameDollars.high - sameDollars.price).toBeCloseTo(1.959964 * Math.sqrt(0.0225), 6);
  });
  it('keeps the margin per cent, or the money per unit bought, of the range it is compared with', () => {
    const price = fc.double({ min: 1, max: 40, noNaN: true });
    fc.assert(
      fc.property(price, price, price, (asked, valueA, valueB) => {
        const ranges = [
          { value: valueA, labor: 0.3 },
          { value: valueB, labor: 0.2 },
        ] as const;
        const found = indifferencePrice(asked, ...ranges);
        expect((valueB - found.sameMargin) / valueB).toBeCloseTo((valueA - asked) / valueA, 9);
        expect(valueB - found.sameDollars - 0.2).toBeCloseTo(valueA - asked - 0.3, 9);
      }),
    );
  });
  it('gives no bounds where a range is worth nothing', () => {
    expect(indifferenceInterval(9, [{ value: 0, labor: 0 }, b], spread).sameMargin.low).toBeNaN();
  });
  it('is said in the unit of the chain', () => {
    const tongue = { language: 'en-US', currency: 'USD', unit: 'lb', kgPerUnit: 0.45359237 };
    const perKg = (price: number): number => price / 0.45359237;
    expect(
      indifferenceSentence(
        { from: '13-15', to: '11-13' },
        perKg(9.2),
        { price: perKg(9.46), low: perKg(9.31), high: perKg(9.6) },
        tongue,
      ),
    ).toBe('At $9.20 per lb for 13-15, the 11-13 is worth up to $9.46 ($9.31 to $9.60), delivered.');
  });
});

describe('quadratic form', () => {
  it('is the covariance of two linear combinations, and refuses sizes that do not fit', () => {
    expect(quadraticForm([1, 2], [1, 0.5, 0.5, 2], [3, -1])).toBeCloseTo(3 - 0.5 + 3 - 4, 12);
    expect(() => quadraticForm([1], [1, 2], [1])).toThrow('quadraticForm');
  });
});
