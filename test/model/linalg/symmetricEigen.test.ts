import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { symmetricEigen } from '../../../src/model/linalg/symmetricEigen.ts';

const rows = (matrix: number[][]): Float64Array[] => matrix.map((row) => Float64Array.from(row));

describe('eigenvalues of a symmetric matrix', () => {
  it('equal a case by hand', () => {
    const { values, vectors } = symmetricEigen(
      rows([
        [2, 1],
        [1, 2],
      ]),
    );
    expect(values[0]).toBeCloseTo(3, 14);
    expect(values[1]).toBeCloseTo(1, 14);
    expect(vectors[0]?.[0]).toBeCloseTo(Math.SQRT1_2, 14);
    expect(vectors[0]?.[1]).toBeCloseTo(Math.SQRT1_2, 14);
  });
  it('know one entry, diagonal and zero matrices', () => {
    expect([...symmetricEigen(rows([[5]])).values]).toEqual([5]);
    expect([
      ...symmetricEigen(
        rows([
          [0, 0],
          [0, 0],
        ]),
      ).values,
    ]).toEqual([0, 0]);
    expect([
      ...symmetricEigen(
        rows([
          [1, 0, 0],
          [0, 9, 0],
          [0, 0, 4],
        ]),
      ).values,
    ]).toEqual([9, 4, 1]);
  });
  it('build the matrix again from orthonormal vectors', () => {
    const square = fc.integer({ min: 1, max: 6 }).chain((p) =>
      fc.array(fc.array(fc.double({ min: -9, max: 9, noNaN: true }), { minLength: p, maxLength: p }), {
        minLength: p,
        maxLength: p,
      }),
    );
    fc.assert(
      fc.property(square, (half) => {
        const matrix = half.map((row, i) => row.map((own, j) => own + (half[j]?.[i] as number)));
        const { values, vectors } = symmetricEigen(rows(matrix));
        for (const [i, row] of matrix.entries())
          for (const [j, own] of row.entries()) {
            const sum = (weight: (k: number) => number, a: (k: number) => number): number =>
              vectors.reduce((total, _, k) => total + weight(k) * a(k), 0);
            const product = (k: number): number => (vectors[k]?.[i] as number) * (vectors[k]?.[j] as number);
            expect(sum((k) => values[k] as number, product)).toBeCloseTo(own, 9);
            expect(sum(() => 1, product)).toBeCloseTo(i === j ? 1 : 0, 10);
          }
        expect([...values]).toEqual([...values].sort((a, b) => b - a));
      }),
    );
  });
});
