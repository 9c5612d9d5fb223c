import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cholesky, inverseOf, logDeterminant, squaredLength } from '../../src/review/cholesky.ts';

describe('cholesky', () => {
  const lower = cholesky(Float64Array.from([4, 2, 2, 3]), 2) as Float64Array;

  it('factors, inverts and measures a 2 x 2 matrix as by hand', () => {
    expect([...lower]).toEqual([2, 0, 1, Math.SQRT2]);
    expect(logDeterminant(lower, 2)).toBeCloseTo(Math.log(8), 14);
    expect([...inverseOf(lower, 2)]).toEqual(
      [3 / 8, -2 / 8, -2 / 8, 4 / 8].map((x) => expect.closeTo(x, 14)),
    );
    const at = { k: 2, from: 1, scratch: new Float64Array(2) };
    expect(squaredLength(lower, Float64Array.from([9, 1, 1]), at)).toBeCloseTo(3 / 8, 14);
  });

  it('says when a matrix is not positive definite', () => {
    expect(cholesky(Float64Array.from([1, 2, 2, 1]), 2)).toBeUndefined();
    expect(cholesky(Float64Array.from([0]), 1)).toBeUndefined();
  });

  it('gives an inverse that undoes the matrix', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 9, maxLength: 9 }),
        (b) => {
          const k = 3;
          const at = (i: number, j: number): number =>
            [0, 1, 2].reduce(
              (sum, m) => sum + (b[i * k + m] as number) * (b[j * k + m] as number),
              i === j ? 0.5 : 0,
            );
          const matrix = Float64Array.from({ length: 9 }, (_, p) => at(Math.floor(p / k), p % k));
          const inverse = inverseOf(cholesky(matrix, k) as Float64Array, k);
          for (let i = 0; i < k; i++)
            for (let j = 0; j < k; j++) {
              const product = [0, 1, 2].reduce(
                (sum, m) => sum + (matrix[i * k + m] as number) * (inverse[m * k + j] as number),
                0,
              );
              expect(product).toBeCloseTo(i === j ? 1 : 0, 8);
            }
        },
      ),
    );
  });
});
