import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { analyzeSparse, factorSparse, solveLower, solveUpper } from '../../src/model/linalg/sparseLdl.ts';

/** Solves A x = b for a random sparse diagonally dominant A and returns the largest residual |A x - b|. */
const residualOf = (n: number, edges: readonly (readonly [number, number, number])[]): number => {
  const dense = Array.from({ length: n }, () => new Float64Array(n));
  for (const [i, j, value] of edges) {
    if (i % n === j % n) continue;
    (dense[i % n] as Float64Array)[j % n] = value;
    (dense[j % n] as Float64Array)[i % n] = value;
  }
  for (let i = 0; i < n; i++)
    (dense[i] as Float64Array)[i] =
      1 + (dense[i] as Float64Array).reduce((sum, value) => sum + Math.abs(value), 0);
  const analysis = analyzeSparse(
    dense.map((row, i) => new Set([...row.keys()].filter((j) => j !== i && row[j] !== 0))),
  );
  const values = new Float64Array(analysis.rows.length);
  for (let k = 0; k < n; k++)
    for (let at = analysis.start[k] as number; at < (analysis.start[k + 1] as number); at++)
      values[at] = dense[analysis.order[analysis.rows[at] as number] as number]?.[
        analysis.order[k] as number
      ] as number;
  const factor = { values, pivots: Float64Array.from(analysis.order, (i) => dense[i]?.[i] as number) };
  expect(factorSparse(analysis, factor)).toBe(true);
  const b = Float64Array.from({ length: n }, (_, i) => i + 1);
  const x = Float64Array.from(analysis.order, (i) => b[i] as number);
  solveLower(analysis, factor, x);
  for (let k = 0; k < n; k++) x[k] = (x[k] as number) / (factor.pivots[k] as number);
  solveUpper(analysis, factor, x);
  return Math.max(
    ...dense.map((row, i) =>
      Math.abs(
        row.reduce((sum, value, j) => sum + value * (x[analysis.place[j] as number] as number), 0) -
          (b[i] as number),
      ),
    ),
  );
};

describe('sparse LDL', () => {
  it('solves a chain of five by hand size and any random pattern', () => {
    expect(
      residualOf(5, [
        [0, 1, -1],
        [1, 2, -1],
        [2, 3, -1],
        [3, 4, -1],
      ]),
    ).toBeLessThan(1e-12);
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 25 }),
        fc.array(fc.tuple(fc.nat(200), fc.nat(200), fc.double({ min: -3, max: 3, noNaN: true })), {
          maxLength: 80,
        }),
        (n, edges) => residualOf(n, edges) < 1e-9,
      ),
    );
  });
  it('says when the matrix is not positive definite', () => {
    const analysis = analyzeSparse([new Set([1]), new Set([0])]);
    expect(factorSparse(analysis, { values: Float64Array.of(2), pivots: Float64Array.of(1, 1) })).toBe(false);
  });
});
