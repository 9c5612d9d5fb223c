import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deliveredPrice, landedPrice } from '../../src/money/landedPrice.ts';

const fob = { pricePerKg: 20, basis: 'FOB', freightPerKg: 0.5 };

describe('landed price', () => {
  it('adds freight to FOB alone and spreads the price over what is left after purge and short weight', () => {
    expect(deliveredPrice(fob)).toBe(20.5);
    expect(deliveredPrice({ ...fob, basis: 'delivered' })).toBe(20);
    expect(landedPrice(fob, 0.98)).toBeCloseTo(20.918367, 6);
  });
  it('tells two suppliers apart that ask the same and lose 2 % more in the bag (constructed)', () => {
    const asked = { pricePerKg: 20, basis: 'delivered', freightPerKg: Number.NaN };
    expect(landedPrice(asked, 0.97) - landedPrice(asked, 0.99)).toBeCloseTo(0.416536, 5);
  });
  it('does not answer for FOB without freight or for nothing left', () => {
    expect(deliveredPrice({ ...fob, freightPerKg: Number.NaN })).toBeNaN();
    expect(landedPrice(fob, 0)).toBeNaN();
    expect(landedPrice(fob, Number.NaN)).toBeNaN();
  });
  it('is never below the delivered price when no more arrives than is billed', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 1, noNaN: true }), (usable) => {
        expect(landedPrice(fob, usable)).toBeGreaterThanOrEqual(deliveredPrice(fob));
      }),
    );
  });
});
