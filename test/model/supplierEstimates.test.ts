import { describe, expect, it } from 'vitest';
import { aboutAverage } from '../../src/model/robust/aboutAverage.ts';
import { clusterVariances, meanVariances } from '../../src/model/robust/clusterVariances.ts';
import { supplierEstimates } from '../../src/model/supplierEstimates.ts';
import { z975 } from '../../src/tables/normalDistribution.ts';
import { seededDraws } from '../simulator/seededDraws.ts';

type Made = { effects: readonly number[]; lots: number; tests: number; lotSd: number; testSd: number };

/** Tests of every supplier in lots, one test in twenty far off, in 12 stores by turns. */
const made = ({ effects, lots, tests, lotSd, testSd }: Made, seed: number) => {
  const draw = seededDraws(seed, 1);
  const values: number[] = [];
  const [group, delivery, store]: number[][] = [[], [], []] as [number[], number[], number[]];
  for (const [g, effect] of effects.entries())
    for (let lot = 0; lot < lots; lot++) {
      const shared = effect + lotSd * draw.normal();
      for (let k = 0; k < tests; k++) {
        values.push(shared + testSd * draw.normal() * (draw.uniform() < 0.05 ? 4 : 1));
        group?.push(g);
        delivery?.push(g * lots + lot);
        store?.push((lot * tests + k) % 12);
      }
    }
  return {
    values: Float64Array.from(values),
    sd: new Float64Array(values.length).fill(testSd),
    clusters: {
      group: Int32Array.from(group as number[]),
      inner: Int32Array.from(delivery as number[]),
      crossed: Int32Array.from(store as number[]),
    },
  };
};

/** Over many made chains: share of intervals that hold the true difference from the others' mean, mean error, mean half width. */
const judged = (settings: Made, chains: number) => {
  const total = settings.effects.reduce((sum, value) => sum + value, 0);
  const fromOthers = settings.effects.map((own) => own - (total - own) / (settings.effects.length - 1));
  let [held, all, widths] = [0, 0, 0];
  const errors = settings.effects.map(() => 0);
  for (let c = 0; c < chains; c++) {
    const { values, sd, clusters } = made(settings, c);
    const [found] = supplierEstimates([values], [sd], clusters, settings.effects.length);
    for (const [g, own] of (found ?? []).entries()) {
      const error = own.mean - (fromOthers[g] as number);
      errors[g] = (errors[g] as number) + error / chains;
      held += Math.abs(error) <= z975 * own.sd ? 1 : 0;
      widths += z975 * own.sd;
      all += 1;
    }
  }
  return { cover: held / all, errors, width: widths / all };
};

describe('supplierEstimates', () => {
  it('bounds tests about their own supplier and holds the truth where lots differ', () => {
    const { cover, errors, width } = judged(
      { effects: [0, 2, -2, 0.6, 0], lots: 40, tests: 12, lotSd: 0.5, testSd: 1.5 },
      80,
    );
    for (const error of errors) expect(Math.abs(error)).toBeLessThan(0.05);
    expect(cover).toBeGreaterThan(0.92);
    expect(width).toBeLessThan(0.3);
  });
  it('is sure of nothing where few suppliers look alike', () => {
    const { cover, width } = judged(
      { effects: [0.1, 0, -0.1], lots: 10, tests: 8, lotSd: 0.4, testSd: 1.5 },
      80,
    );
    expect(cover).toBeGreaterThan(0.92);
    expect(width).toBeGreaterThan(0.1);
  });
  it('tells two suppliers apart, and one from nobody', () => {
    const two = made({ effects: [1, -1], lots: 20, tests: 10, lotSd: 0.2, testSd: 1 }, 101);
    const [found] = supplierEstimates([two.values], [two.sd], two.clusters, 2);
    expect(found?.[0]?.mean).toBeGreaterThan(1.7);
    expect(found?.[0]?.mean).toBeLessThan(2.3);
    expect(found?.[1]?.mean).toBeCloseTo(-(found?.[0]?.mean as number), 9);
    const one = made({ effects: [3], lots: 20, tests: 10, lotSd: 0.2, testSd: 1 }, 102);
    expect(supplierEstimates([one.values], [one.sd], one.clusters, 1)[0]?.[0]).toMatchObject({
      mean: 0,
      sd: 0,
      reliability: 0,
    });
  });
});

describe('aboutAverage', () => {
  it('takes sum of squares / (levels - 2) as prior variance of estimates without error, and leaves them', () => {
    const values = Float64Array.from([3, -1, 0.5, 2, -0.5]);
    const none = Array.from(values, () => new Float64Array(5));
    const { mean, between } = aboutAverage(values, none);
    const center = 0.8;
    const squares = values.reduce((sum, value) => sum + (value - center) ** 2, 0);
    expect(between / (squares / 3)).toBeCloseTo(1, 3);
    for (const [i, value] of mean.entries()) expect(value).toBeCloseTo((values[i] as number) - center, 9);
  });
  it('keeps differences apart from the level of all: rows and columns add to 0', () => {
    const noise = [
      [0.3, 0.1, 0],
      [0.1, 0.2, 0.05],
      [0, 0.05, 0.9],
    ].map((row) => Float64Array.from(row));
    const [low, high] = [0, 100].map((level) =>
      aboutAverage(
        Float64Array.from([1, 2, 4], (value) => value + level),
        noise.map((row) => row.map((value) => value + 10 * level)),
      ),
    );
    for (const [i, row] of (low?.covariance ?? []).entries()) {
      expect(row.reduce((sum, value) => sum + value, 0)).toBeCloseTo(0, 9);
      expect(high?.mean[i]).toBeCloseTo(low?.mean[i] as number, 6);
      expect(high?.covariance[i]?.[i]).toBeCloseTo(row[i] as number, 6);
    }
  });
});

describe('clusterVariances', () => {
  it('parts tests, deliveries and stores, and counts deliveries in the error of a mean', () => {
    const { values, clusters } = made(
      { effects: [5, -5, 0], lots: 700, tests: 8, lotSd: 0.7, testSd: 1 },
      103,
    );
    const shared = clusterVariances(values, clusters);
    expect(shared.inner / 0.49).toBeCloseTo(1, 0.7);
    // one test in twenty is 4 times as wide: 0.95 + 0.05 x 16
    expect(shared.own / 1.75).toBeCloseTo(1, 0.7);
    expect(shared.crossed).toBeLessThan(0.03);
    const [own] = meanVariances({ own: 1, inner: 0.5, crossed: 0 }, clusters, 3);
    expect(own).toBeCloseTo(1 / 5600 + 0.5 / 700, 9);
  });
  it('takes a test of no known delivery as one of its own', () => {
    const clusters = {
      group: Int32Array.from([0, 0, 0, -1]),
      inner: Int32Array.from([-1, -1, -1, 2]),
      crossed: Int32Array.from([-1, -1, -1, -1]),
    };
    expect(meanVariances({ own: 1, inner: 0.5, crossed: 0.2 }, clusters, 1)[0]).toBeCloseTo(1.7 / 3, 9);
  });
});
