import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { expectedRanks } from '../../../src/model/fair/expectedRanks.ts';
import { funnel, funnelLimits } from '../../../src/model/fair/funnelLimits.ts';
import { reliabilityOf, testsNeeded } from '../../../src/model/fair/testsNeeded.ts';
import { seededNormals } from '../../findings/change/seededNormals.ts';

// Reference: test/reference/misc.json, made by misc.R (Spiegelhalter 2005 written out in base R).
const { funnel: plot, shrinkage } = JSON.parse(readFileSync('test/reference/misc.json', 'utf8'));
const se = plot.n.map((n: number) => plot.s / Math.sqrt(n));
const close = (ours: Float64Array, expected: number[], digits = 11): void => {
  expect(ours.length).toBe(expected.length);
  for (const [i, value] of expected.entries()) expect(ours[i]).toBeCloseTo(value, digits);
};

describe('funnel', () => {
  it('equals the reference scores and over-dispersion', () => {
    const ours = funnel(plot.y, se, { target: plot.target });
    close(ours.z, plot.z);
    close(ours.winsorizedZ, plot.z_winsorised);
    expect(ours.phi).toBeCloseTo(plot.phi, 11);
    expect(ours.betweenVariance).toBeCloseTo(plot.tau2_additive, 11);
    close(ours.multiplicativeZ, plot.z_multiplicative);
    close(ours.additiveZ, plot.z_additive);
  });
  it('equals the reference limits', () => {
    const limits = (coverage: number, betweenVariance: number, expected: number[][]): void => {
      const { low, high } = funnelLimits(se, { target: plot.target, coverage, betweenVariance });
      close(
        low,
        expected.map((row) => row[0] as number),
      );
      close(
        high,
        expected.map((row) => row[1] as number),
      );
    };
    limits(0.95, 0, plot.limits95);
    limits(0.998, 0, plot.limits998);
    limits(0.998, plot.tau2_additive, plot.limits998_additive);
  });
  it('adds nothing when nothing differs, and leaves missing units out', () => {
    const draw = seededNormals(3);
    const units = Array.from({ length: 400 }, () => draw());
    const quiet = funnel(
      units,
      units.map(() => 1),
      { target: 0 },
    );
    expect(quiet.betweenVariance).toBeLessThan(0.15);
    const hole = funnel([...plot.y, Number.NaN], [...se, 1], { target: plot.target });
    expect(hole.phi).toBeCloseTo(plot.phi, 11);
    expect(hole.additiveZ[7]).toBeNaN();
    expect(funnel([3], [1], { target: 0 }).betweenVariance).toBe(0);
    expect(() => funnel([1], [], { target: 0 })).toThrow('1 estimates, 0 standard errors');
  });
});

describe('reliability and tests needed', () => {
  it('equal the reference', () => {
    const spread = { between: shrinkage.tau ** 2, within: plot.s ** 2 };
    for (const [i, n] of plot.n.entries())
      expect(reliabilityOf(n, spread)).toBeCloseTo(shrinkage.reliability[i], 13);
    expect(testsNeeded(0.7, spread)).toBe(shrinkage.n_needed);
    // 6.0016: six tests reach 0.69994 only
    expect(testsNeeded(0.7, { between: 1.06 ** 2, within: 1.7 ** 2 })).toBe(7);
  });
  it('know when nothing differs', () => {
    expect(reliabilityOf(9, { between: 0, within: 1 })).toBe(0);
    expect(reliabilityOf(0, { between: 1, within: 1 })).toBe(0);
    expect(testsNeeded(0.7, { between: 0, within: 1 })).toBeNaN();
  });
  it('agree: the tests needed reach the reliability, one fewer does not', () => {
    const variance = fc.double({ min: 0.01, max: 100, noNaN: true });
    fc.assert(
      fc.property(variance, variance, (between, within) => {
        const n = testsNeeded(0.7, { between, within });
        expect(reliabilityOf(n, { between, within })).toBeGreaterThan(0.7 - 1e-9);
        expect(reliabilityOf(n - 1, { between, within })).toBeLessThan(0.7 + 1e-9);
      }),
    );
  });
});

describe('expected ranks', () => {
  it('equal the reference', () => {
    close(
      expectedRanks(shrinkage.post_mean, shrinkage.post_sd).rank,
      shrinkage.expected_rank_1_is_highest,
      11,
    );
  });
  it('cover the true rank in about 95 % of draws, and are narrow for one that stands out', () => {
    const draw = seededNormals(8);
    const means = Array.from({ length: 60 }, () => draw());
    const sds = means.map((_, i) => 0.2 + 0.8 * ((i % 5) / 4));
    means[7] = 9;
    const { low, high, rank } = expectedRanks(means, sds);
    expect([low[7], high[7]]).toEqual([1, 1]);
    let inside = 0;
    const runs = 400;
    for (let run = 0; run < runs; run++) {
      const truth = means.map((mean, i) => mean + (sds[i] as number) * draw());
      for (const [i, own] of truth.entries()) {
        const place = 1 + truth.filter((other) => other > own).length;
        if (place >= (low[i] as number) && place <= (high[i] as number)) inside++;
      }
    }
    const share = inside / (runs * means.length);
    expect(share).toBeGreaterThan(0.93);
    expect(share).toBeLessThan(0.98);
    expect(rank.reduce((sum, own) => sum + own, 0)).toBeCloseTo((60 * 61) / 2, 6);
  });
  it('are the same by grid and by pairs, and skip what is not known', () => {
    const draw = seededNormals(9);
    const means = Array.from({ length: 600 }, () => draw());
    const sds = means.map(() => 0.5);
    const { rank } = expectedRanks(means, sds);
    for (const i of [0, 77]) {
      const pairs = expectedRanks(
        [means[i] as number, ...means.filter((_, j) => j !== i).slice(0, 499)],
        sds,
      );
      // a field of 500 of the 600
      expect(Math.abs((rank[i] as number) / 600 - (pairs.rank[0] as number) / 500)).toBeLessThan(0.02);
    }
    expect(rank.reduce((sum, own) => sum + own, 0) / ((600 * 601) / 2)).toBeCloseTo(1, 3);
    const holes = expectedRanks([1, Number.NaN, 2, 3], [1, 1, 0, 1]);
    expect([...holes.rank].map(Number.isNaN)).toEqual([false, true, true, false]);
    expect((holes.rank[0] as number) + (holes.rank[3] as number)).toBeCloseTo(3, 12);
    expect(expectedRanks([], []).rank).toHaveLength(0);
  });
});
