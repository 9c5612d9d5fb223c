import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beforeAfter, type Contrast, changePlace } from '../../../src/findings/change/beforeAfter.ts';
import { changesInSeries, fewest } from '../../../src/findings/change/changesInSeries.ts';
import { limitsByRunLength } from '../../../src/findings/change/chartLimits.ts';
import { errorScale } from '../../../src/findings/change/errorScale.ts';
import { type CutterSeries, pooledForecast } from '../../../src/findings/change/pooledForecast.ts';
import { cusumRunLength } from '../../../src/findings/change/runLength.ts';
import { scanChance } from '../../../src/findings/change/scanChance.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';

const seriesOf = (left: readonly number[], item: readonly number[], sd = 1): CutterSeries => ({
  left: Float64Array.from(left),
  sd: new Float64Array(left.length).fill(sd),
  item: Int32Array.from(item),
  items: item.reduce((most, code) => Math.max(most, code + 1), 0),
});
const draws = seededDraws(11, 1);
const drawn = (n: number, shift: number, at: number): CutterSeries => {
  const items = Array.from({ length: n }, () => Math.floor(3 * draws.uniform()));
  return seriesOf(
    items.map((item, i) => item - 1 + draws.normal() + (i >= at ? shift : 0)),
    items,
  );
};
const limitsOf = limitsByRunLength();
const settings = (runLength: number) => ({
  prior: { all: 2, item: 2 },
  scale: 1,
  bound: 3,
  limits: limitsOf(runLength),
});

describe('forecast of each test from those before', () => {
  it('is the prior for the first test, then the shrunken mean of the same item and of all items', () => {
    const { errors } = pooledForecast(
      seriesOf([2, 2, 3], [0, 0, 1]),
      { all: 1, item: 1 },
      { scale: 1, bound: 9 },
    );
    // first: variance 1 + 1 + 1; second: mean 2/3 of 2, variance 2 / 3 + 1; worked by hand
    expect(errors[0]).toBeCloseTo(2 / Math.sqrt(3), 12);
    expect(errors[1]).toBeCloseTo((2 - 4 / 3) / Math.sqrt(2 / 3 + 1), 12);
    // another item knows the common part only: mean 2/5 of the item's mean 2, variance 1 - 1 / 2.5 + 1 + 1
    expect(errors[2]).toBeCloseTo((3 - 0.8) / Math.sqrt(0.6 + 2), 12);
  });

  it('gives independent standard errors while nothing changes, whatever the level', () => {
    const products: number[] = [];
    const squares: number[] = [];
    for (let r = 0; r < 400; r++) {
      const level = 2 * draws.normal();
      const series = drawn(12, 0, 99);
      const { errors } = pooledForecast(
        {
          ...series,
          left: series.left.map((value, i) => value - (series.item[i] as number) + 1 + level + 0 * i),
        },
        { all: 2, item: 0.001 },
        { scale: 1, bound: 99 },
      );
      for (let i = 1; i < 12; i++) products.push((errors[i] as number) * (errors[i - 1] as number));
      for (const error of errors) squares.push(error * error);
    }
    const mean = (values: number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
    // 4 standard errors of 4,800 squares (SD 1.41) and of 4,400 products (SD 1)
    expect(Math.abs(mean(squares) - 1)).toBeLessThan(0.082);
    expect(Math.abs(mean(products))).toBeLessThan(0.06);
  });

  it('does not depend on later tests', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -9, max: 9, noNaN: true }), { minLength: 4, maxLength: 30 }),
        (left) => {
          const items = left.map((_, i) => i % 3);
          const whole = pooledForecast(
            seriesOf(left, items),
            { all: 1, item: 1 },
            { scale: 1, bound: 3 },
          ).errors;
          const part = pooledForecast(
            seriesOf(left.slice(0, -1), items.slice(0, -1)),
            { all: 1, item: 1 },
            { scale: 1, bound: 3 },
          ).errors;
          expect([...whole.subarray(0, part.length)]).toEqual([...part]);
        },
      ),
    );
  });
});

describe('before against after', () => {
  it('compares each item with itself', () => {
    // item 0: 0 -> 1 (one each), item 1: 10 -> 13 (two each): weights 1/2 and 1, shift (0.5 * 1 + 1 * 3) / 1.5
    const series = seriesOf([0, 10, 10, 1, 13, 13], [0, 1, 1, 0, 1, 1]);
    const contrast = beforeAfter(series.left, series, { from: 0, at: 3, to: 6 });
    expect(contrast.shift).toBeCloseTo(3.5 / 1.5, 12);
    expect(contrast.sd).toBeCloseTo(1 / Math.sqrt(1.5), 12);
    expect([contrast.before, contrast.after]).toEqual([3, 3]);
  });

  it('is nothing where no item has both sides', () => {
    const series = seriesOf([0, 5], [0, 1]);
    expect(beforeAfter(series.left, series, { from: 0, at: 1, to: 2 })).toMatchObject({
      z: 0,
      before: 0,
      after: 0,
    });
    expect(changePlace(series.left, series, { from: 0, to: 2, sign: 1, fewest: 1 })).toBe(-1);
  });

  it('finds the place of a step', () => {
    const left = [0, 0.1, -0.1, 0, 0.1, 2, 2.1, 1.9, 2, 2.1];
    const series = seriesOf(
      left,
      left.map(() => 0),
    );
    expect(changePlace(series.left, series, { from: 0, to: 10, sign: 1, fewest: 2 })).toBe(5);
    expect(changePlace(series.left, series, { from: 0, to: 10, sign: -1, fewest: 2 })).toBe(-1);
  });
});

describe('scale of errors', () => {
  it('is the SD of normal errors and hardly moved by a few wild ones', () => {
    const errors = Array.from({ length: 4000 }, () => 1.3 * draws.normal());
    expect(errorScale(errors, 3)).toBeCloseTo(1.3, 1);
    expect(errorScale([...errors, ...new Array<number>(40).fill(50)], 3)).toBeLessThan(1.42);
    expect(errorScale([1, 2], 3)).toBe(1);
  });
});

describe('chart limits', () => {
  it('give the run length asked for, rounded up, and the published widths', () => {
    // statistics of Lucas & Saccucci 1990, Table 3 (from memory): EWMA 0.1 with width 2.814 has a run length of 500
    const { ewma, cusum } = limitsOf(499);
    expect(ewma.width).toBeGreaterThan(2.81);
    expect(ewma.width).toBeLessThan(2.92);
    expect(cusumRunLength(cusum, 0)).toBeGreaterThan(499);
    expect(cusumRunLength(cusum, 0)).toBeLessThan(499 * 1.27);
    expect(limitsOf(1)).toEqual(limitsOf(50));
    expect(limitsOf(5000).cusum.limit).toBeGreaterThan(limitsOf(600).cusum.limit);
  });
});

describe('changes of level in one series', () => {
  it('are none in 0, 1 or 2 tests or where all are equal', () => {
    for (const left of [[], [1], [1, 2], new Array<number>(40).fill(1)])
      expect(
        changesInSeries(
          seriesOf(
            left,
            left.map(() => 0),
          ),
          settings(500),
        ),
      ).toEqual([]);
  });

  it('are found and dated within 4 tests in the median for a shift of 1.5 SDs, and rare without one', () => {
    let [found, alarms, tests] = [0, 0, 0];
    const off: number[] = [];
    for (let r = 0; r < 200; r++) {
      const first = changesInSeries(drawn(60, -1.5, 35), settings(1500))[0];
      if (first?.side === -1) {
        found++;
        off.push(Math.abs(first.at - 35));
      }
      const still = drawn(60, 0, 99);
      alarms += changesInSeries(still, settings(1500)).length;
      tests += 60;
    }
    expect(found).toBeGreaterThan(170);
    expect(off.sort((a, b) => a - b)[off.length >> 1]).toBeLessThanOrEqual(4);
    // two charts a series, each with a run length of 1,500: 8 to 16 alarms in 12,000 tests, 40 would be far too many
    expect(alarms).toBeLessThan(tests / 450);
  });

  it('are the same on the other side and in another unit', () => {
    const series = drawn(50, 2, 25);
    const scaled = {
      ...series,
      left: series.left.map((value) => -7 * value),
      sd: series.sd.map((value) => 7 * value),
    };
    const wide = { ...settings(900), prior: { all: 14, item: 14 } };
    const one = changesInSeries(series, settings(900));
    const other = changesInSeries(scaled, wide);
    expect(one.length).toBeGreaterThan(0);
    expect(other.map(({ at, alarmAt, side }) => [at, alarmAt, -side])).toEqual(
      one.map(({ at, alarmAt, side }) => [at, alarmAt, side]),
    );
  });

  it('tell a change and the change back', () => {
    const items = Array.from({ length: 90 }, () => 0);
    const left = items.map((_, i) => 0.5 * draws.normal() + (i >= 30 && i < 60 ? -2 : 0));
    const changes = changesInSeries(seriesOf(left, items), settings(1500));
    expect(changes.map((change) => change.side)).toEqual([-1, 1]);
    expect(changes[0]?.end).toBe(changes[1]?.at);
  });

  it('are found without an alarm where the contrast is sure, heard on the first test that makes the same date nearly so', () => {
    const noAlarm = {
      ...settings(1500),
      limits: { ewma: { lambda: 0.1, width: 1e9 }, cusum: { slack: 0.5, limit: 1e9 } },
    };
    const pValueOf = ({ z, before, after }: Contrast): number => scanChance(z, before + after, fewest);
    const clear = { pValueOf, most: 0.1 };
    const items = Array.from({ length: 60 }, () => 0);
    let [found, still] = [0, 0];
    for (let r = 0; r < 50; r++) {
      const noise = items.map(() => draws.normal());
      const changed = seriesOf(
        noise.map((value, i) => value + (i < 40 ? 0 : -2)),
        items,
      );
      expect(changesInSeries(changed, noAlarm)).toEqual([]);
      for (const one of changesInSeries(changed, { ...noAlarm, clear })) {
        found++;
        expect(one.side).toBe(-1);
        expect(Math.abs(one.at - 40)).toBeLessThan(8);
        expect(one.alarmAt).toBeGreaterThanOrEqual(one.at + fewest - 1);
        expect(one.alarmAt).toBeLessThan(60);
      }
      still += changesInSeries(seriesOf(noise, items), { ...noAlarm, clear }).length;
    }
    expect(found).toBeGreaterThanOrEqual(48);
    // one in a hundred by luck
    expect(still).toBeLessThanOrEqual(3);
  });

  it('end at changes that are clear alone: the least clear is taken out and its levels are one', () => {
    const items = Array.from({ length: 90 }, () => 0);
    const left = items.map((_, i) => 0.5 * draws.normal() + (i < 30 ? 0 : i < 60 ? -4 : -2));
    const series = seriesOf(left, items);
    const [fall, rise] = changesInSeries(series, settings(1500));
    const least = (rise?.contrast.z as number) + 0.01;
    const kept = changesInSeries(series, {
      ...settings(1500),
      clear: { pValueOf: ({ z }) => (Math.abs(z) > least ? 0 : 1), most: 0.5 },
    });
    expect(kept.map(({ at, from, end }) => [at, from, end])).toEqual([[fall?.at, 0, 90]]);
    expect(kept[0]?.contrast.after).toBe(90 - (fall?.at as number));
    const clear = { pValueOf: () => 1, most: 0.5 };
    expect(changesInSeries(series, { ...settings(1500), clear })).toEqual([]);
  });
});
