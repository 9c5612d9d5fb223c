import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { priceAtMargin, priceAtMarkup, takeHomePrice } from '../../src/money/marginPrice.ts';

describe('price at a margin or a markup', () => {
  it('gives E10: margin is on the selling price, markup on cost (domain facts E10, study notes, secondary copy)', () => {
    expect(priceAtMargin(10, 1 / 3)).toBeCloseTo(15, 12);
    expect(priceAtMarkup(10, 0.5)).toBe(15);
    expect(priceAtMargin(10, 0.5)).toBe(20);
    expect(priceAtMargin(10, 1)).toBeNaN();
  });
  it('agrees with the book that calls 10 c to 15 c 33 % on sales (domain facts E9, retail book of about 1927, secondary copy)', () => {
    expect(priceAtMargin(0.1, 1 / 3)).toBeCloseTo(0.15, 12);
    expect(priceAtMarkup(0.1, 0.5)).toBeCloseTo(0.15, 12);
  });
  it('leaves the margin asked for at any cost', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 100, noNaN: true }),
        fc.double({ min: 0, max: 0.9, noNaN: true }),
        (cost, margin) => {
          const price = priceAtMargin(cost, margin);
          expect((price - cost) / price).toBeCloseTo(margin, 9);
          expect(priceAtMarkup(cost, margin / (1 - margin))).toBeCloseTo(price, 6);
        },
      ),
    );
  });
});

describe('take-home price', () => {
  it('gives E11 (extension bulletin on beef by the side, and an extension price example, both read)', () => {
    expect(takeHomePrice(1.35, 0.58)).toBeCloseTo(2.327586, 6);
    // the bulletin prints 225 lb for 85 % of a 300-lb side; 255 lb is right
    const takeHomeLb = [0.7, 0.55, 0.85].map((share) => 300 / takeHomePrice(1, share));
    for (const [i, printed] of [210, 165, 255].entries()) expect(takeHomeLb[i]).toBeCloseTo(printed, 9);
    expect(takeHomePrice(1, 0)).toBeNaN();
  });
});
