import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { leastSquares } from '../../src/tables/leastSquares.ts';
import { ratioEstimate } from '../../src/tables/ratioEstimate.ts';

describe('least squares with clusters', () => {
  const x = [1, 2, 3, 4];
  const y = [1, 3, 2, 5];
  const rows = x.map((value) => [1, value]);
  it('fits a line worked by hand', () => {
    const fit = leastSquares(rows, y, [0, 1, 2, 3]);
    expect(fit.coefficients[1]).toBeCloseTo(1.1, 12);
    expect(fit.coefficients[0]).toBeCloseTo(0, 12);
    // residuals -0.1 0.8 -1.3 0.6; sum (x - 2.5)^2 = 5; score sum ((x - 2.5) e)^2 = 0.0225 + 0.16 + 0.4225 + 0.81
    expect(fit.covariance[3]).toBeCloseTo(((4 / 3) * (3 / 2) * 1.415) / 25, 12);
  });
  it('leaves out a column that the others already say', () => {
    const fit = leastSquares(
      rows.map((row) => [...row, 2 * (row[1] as number)]),
      y,
      [0, 1, 2, 3],
    );
    expect(fit.dropped).toEqual([false, false, true]);
    expect(fit.coefficients[1]).toBeCloseTo(1.1, 9);
    expect(fit.covariance.slice(6)).toEqual([0, 0, 0]);
  });
  it('is not made surer by copies of the same cluster', () => {
    const once = leastSquares(rows, y, [0, 1, 2, 3]);
    const twice = leastSquares([...rows, ...rows], [...y, ...y], [0, 1, 2, 3, 0, 1, 2, 3]);
    expect((twice.covariance[3] as number) / (once.covariance[3] as number)).toBeCloseTo(7 / 6 / (3 / 2), 9);
  });
  it('does not mind the order of rows', () => {
    fc.assert(
      fc.property(fc.shuffledSubarray([0, 1, 2, 3], { minLength: 4 }), (order) => {
        const fit = leastSquares(
          order.map((i) => rows[i] as number[]),
          order.map((i) => y[i] as number),
          order.map((i) => i % 2),
        );
        const own = leastSquares(rows, y, [0, 1, 0, 1]);
        for (const [k, value] of own.covariance.entries()) expect(fit.covariance[k]).toBeCloseTo(value, 9);
      }),
    );
  });
  it('answers nothing for no spread at all and refuses sizes that do not fit', () => {
    expect(leastSquares([[1]], [2], [0]).covariance[0]).toBeNaN();
    expect(() => leastSquares([[1]], [2, 3], [0])).toThrow('leastSquares');
  });
});

describe('ratio of sums', () => {
  it('is worked by hand, leaves missing pairs out, and has no error below two', () => {
    const found = ratioEstimate([1, 3, Number.NaN], [10, 10, 10]);
    expect(found.value).toBeCloseTo(0.2, 12);
    expect(found.sd).toBeCloseTo(Math.sqrt(2 * 2) / 20, 12);
    expect(found.tests).toBe(2);
    expect(ratioEstimate([1], [10]).sd).toBeNaN();
    expect(ratioEstimate([], []).value).toBeNaN();
  });
});
