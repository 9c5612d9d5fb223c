import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  analyzeSparse,
  factorSparse,
  slotOf,
  solveLower,
  solveUpper,
} from '../../../src/model/linalg/sparseLdl.ts';

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
  const pairs = dense.flatMap((row, i) =>
    [...row.keys()].filter((j) => j < i && row[j] !== 0).map((j) => [i, j] as const),
  );
  const analysis = analyzeSparse(n, {
    start: Int32Array.from({ length: pairs.length + 1 }, (_, k) => 2 * k),
    members: Int32Array.from(pairs.flat()),
  });
  const entries = new Float64Array(analysis.rows.length + n);
  for (const [i, row] of dense.entries()) {
    entries[slotOf(analysis, i, i)] = row[i] as number;
    for (const [j, value] of row.entries()) if (value !== 0) entries[slotOf(analysis, i, j)] = value;
  }
  expect(factorSparse(analysis, entries)).toBe(true);
  const b = Float64Array.from({ length: n }, (_, i) => i + 1);
  const x = Float64Array.from(analysis.order, (i) => b[i] as number);
  solveLower(analysis, entries, x, 1);
  for (let k = 0; k < n; k++) x[k] = (x[k] as number) / (entries[analysis.rows.length + k] as number);
  solveUpper(analysis, entries, x, 1);
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
    const analysis = analyzeSparse(2, { start: Int32Array.of(0, 2), members: Int32Array.of(0, 1) });
    expect(factorSparse(analysis, Float64Array.of(2, 1, 1))).toBe(false);
  });
});
