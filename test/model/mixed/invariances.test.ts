import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { MixedProblem } from '../../../src/model/mixed/crossProducts.ts';
import { fitMixedModel, type MixedFit } from '../../../src/model/mixed/fitMixedModel.ts';

/**
 * 60 to 120 rows of 12 cutters in 4 stores with clear differences, one covariate, some rows without a store, weights of 1
 * to 4. From a seed, so that shrinking cannot take the noise away (with none there is no largest likelihood).
 */
const drawn = fc.integer({ min: 1, max: 2 ** 31 - 1 }).map((seed) => {
  let state = seed;
  const draw = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  const whole = (n: number): number => Math.floor(n * draw());
  return Array.from({ length: 60 + whole(60) }, () => {
    const [cutter, store, x] = [whole(12), whole(5) - 1, 2 * draw() - 1];
    const y = 70 + x + (cutter % 5) + 1.5 * (store + 1) + 2 * (draw() + draw() - 1);
    return { cutter, store, x, y, weight: 1 + whole(4) };
  });
});
type Row = { cutter: number; store: number; x: number; y: number; weight: number };

const problemOf = (
  rows: readonly Row[],
  name: { cutter: (code: number) => number; store: (code: number) => number } = {
    cutter: (code) => code,
    store: (code) => code,
  },
): MixedProblem => ({
  y: Float64Array.from(rows, (row) => row.y),
  x: [new Float64Array(rows.length).fill(1), Float64Array.from(rows, (row) => row.x)],
  weights: Float64Array.from(rows, (row) => row.weight),
  factors: [
    { codes: Int32Array.from(rows, (row) => name.cutter(row.cutter)), levels: 12 },
    { codes: Int32Array.from(rows, (row) => (row.store < 0 ? -1 : name.store(row.store))), levels: 4 },
  ],
});

/** Largest distance between effects of `other` and `scale` times those of `one`, level by level. */
const apart = (
  one: MixedFit,
  other: MixedFit,
  { scale = 1, name }: { scale?: number; name?: readonly ((code: number) => number)[] } = {},
): number => {
  let largest = 0;
  for (const [f, { blup, condSd }] of one.effects.entries())
    for (let level = 0; level < blup.length; level++) {
      const to = name?.[f]?.(level) ?? level;
      const theirs = other.effects[f] as MixedFit['effects'][number];
      largest = Math.max(
        largest,
        Math.abs((theirs.blup[to] as number) - scale * (blup[level] as number)),
        Math.abs((theirs.condSd[to] as number) - scale * (condSd[level] as number)),
      );
    }
  return largest;
};

const kgPerLb = 0.45359237;
const turned = { cutter: (code: number) => (5 * code + 3) % 12, store: (code: number) => 3 - code };

/** The same tests told otherwise, each with what its effects must be. */
const retold = (rows: readonly Row[]) => [
  { problem: problemOf(rows.map((row) => ({ ...row, y: row.y + 1000 }))) },
  { problem: problemOf(rows.map((row) => ({ ...row, y: row.y * kgPerLb }))), scale: kgPerLb },
  { problem: problemOf([...rows].reverse()) },
  { problem: problemOf(rows, turned), name: [turned.cutter, turned.store] },
];

describe('effects are the same whatever the constant, unit, order of rows or names of levels', () => {
  it('to 1e-9 at fixed theta', () => {
    fc.assert(
      fc.property(drawn, (rows) => {
        const plain = fitMixedModel(problemOf(rows), [1.5, 0.8]);
        for (const { problem, ...how } of retold(rows))
          expect(apart(plain, fitMixedModel(problem, [1.5, 0.8]), how)).toBeLessThan(1e-9);
      }),
      { numRuns: 40 },
    );
  });
  it('to 1e-6 after optimizing', () => {
    fc.assert(
      fc.property(drawn, (rows) => {
        const plain = fitMixedModel(problemOf(rows));
        for (const { problem, ...how } of retold(rows))
          expect(apart(plain, fitMixedModel(problem), how)).toBeLessThan(1e-6);
      }),
      { numRuns: 40 },
    );
  });
});
