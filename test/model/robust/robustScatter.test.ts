import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { deterministicMcd, type Mcd } from '../../../src/model/robust/deterministicMcd.ts';
import { distanceCutoff, distanceTails, wishartFreedom } from '../../../src/model/robust/distanceCutoff.ts';
import { madScale } from '../../../src/model/robust/huberWeights.ts';
import {
  consistencyFactor,
  coreSize,
  rawSampleFactor,
  reweightedSampleFactor,
} from '../../../src/model/robust/mcdFactors.ts';
import { ogk } from '../../../src/model/robust/ogk.ts';
import { qnScale } from '../../../src/model/robust/qnScale.ts';
import { robustDistances } from '../../../src/model/robust/robustDistances.ts';
import { type Scatter, squaredDistances } from '../../../src/model/robust/scatter.ts';
import { tauScale } from '../../../src/model/robust/tauScale.ts';
import { chiSquaredQuantile } from '../../../src/tables/gammaDistribution.ts';
import { seededNormals } from '../../findings/change/seededNormals.ts';

// References: test/reference/robust.json and mcd.json, made by robust.R and mcd.R with R robustbase (versions inside).
const read = (name: string) => JSON.parse(readFileSync(`test/reference/${name}.json`, 'utf8'));
const { covMcd, covOGK_s_mad: covOgk } = read('robust');
const { mcd: more, factors } = read('mcd');
const columnsOf = (file: string, p: number): Float64Array[] => {
  const rows: string[][] = parse(readFileSync(`test/reference/data/${file}.csv`, 'utf8'), { from: 2 });
  return Array.from({ length: p }, (_, j) => Float64Array.from(rows, (row) => Number(row[j])));
};
const samples: Record<string, Float64Array[]> = {
  hbk: columnsOf('hbk', 3),
  stackloss: columnsOf('stackloss', 3),
  shifted120: columnsOf('shifted120', 5),
};
const near = (ours: Scatter, center: number[], covariance: number[][], times = 1): void => {
  for (const [a, own] of center.entries()) expect(ours.center[a]).toBeCloseTo(own, 9);
  for (const [a, row] of covariance.entries())
    for (const [b, own] of row.entries()) expect(ours.covariance[a]?.[b]).toBeCloseTo(times * own, 8);
};
const mcdOf = (columns: readonly Float64Array[], share: number): Mcd => {
  const found = deterministicMcd(columns, { share, scaleOf: qnScale });
  if (found === undefined) throw new Error('no estimate');
  return found;
};
const fromZero = (places: number[]): number[] => places.map((place) => place - 1);

describe('minimum covariance determinant against R', () => {
  for (const [name, expected] of Object.entries<(typeof covMcd)[string]>(covMcd))
    it(`${name}, core of a half: criterion no worse than 5000 random starts, same core, same estimate`, () => {
      const ours = mcdOf(samples[name] as Float64Array[], 0.5);
      expect(ours.logDeterminant).toBeLessThan(expected.crit_logdet + 1e-9);
      expect(ours.core).toHaveLength(expected.h);
      expect([...ours.core]).toEqual(fromZero(expected.best));
      // cores of a half: R replaces the published small-sample factor by a table of its own, taken out here
      const size = { n: expected.n, p: expected.p, share: 0.5 };
      near(ours.raw, expected.raw_center, expected.raw_cov, rawSampleFactor(size) / expected.raw_cnp2[1]);
      const outer = reweightedSampleFactor(size) / expected.cnp2[1];
      near(ours.reweighted, expected.center, expected.cov, outer);
      const { squared } = squaredDistances(samples[name] as Float64Array[], ours.reweighted);
      for (const [i, own] of expected.mah.entries())
        expect((squared[i] as number) * outer).toBeCloseTo(own, 6);
      const beyond = [...squared.keys()].filter((i) => (squared[i] as number) * outer > expected.cutoff_0975);
      expect(beyond).toEqual(fromZero(expected.outliers));
    });
  for (const [name, expected] of Object.entries<(typeof more)[string]>(more))
    it(`${name}, core of ${expected.alpha}`, () => {
      const columns = samples[name.replace('_half', '')] as Float64Array[];
      const ours = mcdOf(columns, expected.alpha);
      const best = Math.min(expected.crit_logdet_random, expected.crit_logdet_deterministic);
      expect(ours.logDeterminant).toBeLessThan(best + 1e-9);
      expect(ours.core).toHaveLength(expected.h);
      // R's own deterministic starts end on a ridge there
      if (expected.crit_logdet_deterministic > best + 1e-6) return;
      expect([...ours.core]).toEqual(fromZero(expected.best));
      near(ours.raw, expected.raw_center, expected.raw_cov);
      near(ours.reweighted, expected.center, expected.cov);
    });
  it('factors for consistency and small samples', () => {
    for (const [i, p] of factors.p.entries()) {
      const size = { n: factors.n[i], p, share: factors.alpha[i] };
      expect(rawSampleFactor(size) / factors.raw[i]).toBeCloseTo(1, 12);
      expect(reweightedSampleFactor(size) / factors.reweighted[i]).toBeCloseTo(1, 12);
      expect(consistencyFactor(p, size.share) / factors.consistency[i]).toBeCloseTo(1, 11);
    }
    expect(consistencyFactor(3, 1)).toBe(1);
    expect(coreSize(75, 3, 0.5)).toBe(39);
    expect(coreSize(75, 3, 1)).toBe(75);
  });
});

describe('orthogonalized pairwise covariances against R', () => {
  for (const [name, expected] of Object.entries<(typeof covOgk)[string]>(covOgk))
    it(name, () => {
      // R's covOGK takes the tau scale for pairs whatever scale it is given for columns
      const ours = ogk(samples[name] as Float64Array[], (values) => madScale([...values]), tauScale);
      near(ours.raw, expected.center, expected.cov);
      near(ours.reweighted, expected.wcenter, expected.wcov);
    });
});

describe('robust distances', () => {
  const draw = seededNormals(31);
  const normal = (n: number, p: number): Float64Array[] =>
    Array.from({ length: p }, () => Float64Array.from({ length: n }, draw));

  it('do not mind order of rows, shifts and units', () => {
    const columns = samples['shifted120'] as Float64Array[];
    const moved = columns.map((column) => Float64Array.from([...column].reverse(), (own) => 3 * own - 8));
    const [ours, other] = [robustDistances(columns), robustDistances(moved)];
    expect(ours.status).toBe('mcd');
    for (const [i, own] of ours.squared.entries()) expect(other.squared[119 - i]).toBeCloseTo(own, 6);
  });
  it('find the twenty shifted rows and few others', () => {
    const { tail } = robustDistances(samples['shifted120'] as Float64Array[]);
    const flagged = [...tail.keys()].filter((i) => (tail[i] as number) < 0.01);
    expect(flagged.filter((i) => i < 20).length).toBe(20);
    expect(flagged.filter((i) => i >= 20).length).toBe(0);
  });
  it('fall back, and say so', () => {
    expect(robustDistances(normal(20, 4)).status).toBe('too-few');
    expect(robustDistances([]).status).toBe('too-few');
    const flat = [...normal(60, 2), new Float64Array(60).fill(2)];
    expect(robustDistances(flat).status).toBe('no-spread');
    const [x, y] = normal(60, 2) as [Float64Array, Float64Array];
    const plane = [x, y, x.map((own, i) => (i < 50 ? own + (y[i] as number) : own))];
    expect(deterministicMcd(plane, { share: 0.75, scaleOf: qnScale })).toBeUndefined();
    expect(['ogk', 'no-spread']).toContain(robustDistances(plane).status);
    const holes = normal(60, 2);
    (holes[1] as Float64Array)[7] = Number.NaN;
    const { status, squared } = robustDistances(holes);
    expect(status).toBe('mcd');
    expect([...squared.keys()].filter((i) => Number.isNaN(squared[i]))).toEqual([7]);
  });
  it('take every k-th of many rows for center and scatter', () => {
    const many = normal(12_000, 3);
    const { status, tail } = robustDistances(many);
    expect(status).toBe('mcd');
    expect(tail).toHaveLength(12_000);
    const share = tail.filter((own) => own < 0.01).length / 12_000;
    expect(share).toBeGreaterThan(0.006);
    expect(share).toBeLessThan(0.014);
  });
  it('cutoffs undo tails and go to chi-squared for many rows', () => {
    const shape = { n: 80, p: 4, share: 0.75 };
    const tails = distanceTails(Float64Array.of(distanceCutoff(0.001, shape), Number.NaN), shape);
    expect(tails[0]).toBeCloseTo(0.001, 10);
    expect(tails[1]).toBeNaN();
    const many = { ...shape, n: 1e6 };
    expect(distanceCutoff(0.001, many) / chiSquaredQuantile(0.999, 4)).toBeCloseTo(1, 3);
    expect(wishartFreedom(shape)).toBeLessThan(80);
  });
});
