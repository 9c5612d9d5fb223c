import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quantile, quantileOfSorted } from '../../src/tables/quantile.ts';

// Reference: test/reference/misc.json, made by misc.R with R's quantile.
const { quantiles } = JSON.parse(readFileSync('test/reference/misc.json', 'utf8'));

describe('quantile of type 7', () => {
  it('equals the reference', () => {
    for (const [i, p] of quantiles.p.entries())
      expect(quantile(quantiles.x, p)).toBeCloseTo(quantiles.by_type.type7[i], 13);
  });
  it('knows no values, one value, missing values', () => {
    expect(quantile([], 0.5)).toBeNaN();
    expect(quantileOfSorted([4], 0.9)).toBe(4);
    expect(quantile([Number.NaN, 3, 1], 0.5)).toBe(2);
  });
  it('moves with units and shifts', () => {
    const values = fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 1 });
    fc.assert(
      fc.property(values, fc.double({ min: 0, max: 1, noNaN: true }), (x, p) => {
        expect(
          quantile(
            x.map((value) => 3 * value + 7),
            p,
          ),
        ).toBeCloseTo(3 * quantile(x, p) + 7, 8);
      }),
    );
  });
});
