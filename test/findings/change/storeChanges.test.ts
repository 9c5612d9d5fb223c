import { describe, expect, it } from 'vitest';
import { limitsByRunLength } from '../../../src/findings/change/chartLimits.ts';
import { chartScales } from '../../../src/findings/change/levelChanges.ts';
import { storeChanges } from '../../../src/findings/change/storeChanges.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';
import { type MadeTest, madePeople } from './timeSeries.ts';

const changeDay = 20200;

/** 10 stores of three cutters, 70 tests each over 400 days on two items. */
const steady = (seed: number): MadeTest[] => {
  const draws = seededDraws(seed, 4);
  return Array.from({ length: 30 }, (_, cutter) =>
    Array.from(
      { length: 70 },
      (_, k): MadeTest => ({
        store: `s-${Math.floor(cutter / 3)}`,
        cutter: `c-${String(cutter).padStart(2, '0')}`,
        item: `item ${k % 2}`,
        day: 20000 + Math.floor(((k + draws.uniform()) / 70) * 400),
        points: 1.9 * draws.normal(),
      }),
    ),
  ).flat();
};

/** What is unaccounted for, drawn by itself: a tenth of a point a test, and `extra`. */
const charted = (seed: number, extra: (store: string, day: number, cutter: string) => number) => {
  const people = madePeople(steady(seed));
  const draws = seededDraws(seed, 5);
  const loss = Float64Array.from(
    people.tests,
    (test, i) => 0.1 * draws.normal() + extra(test.store, people.day[i] as number, test.cutter),
  );
  const left = { ...people.left, unaccounted: loss };
  const sd = { ...people.sd, unaccounted: loss.map(() => 0.1) };
  return { people: { ...people, sd }, left, scale: chartScales({ ...people, sd }, left) };
};

describe('changes of a whole store', () => {
  it('are found by what is unaccounted for, however many SDs of it the scale is off', () => {
    const found = storeChanges(
      charted(1, (store, day) => (store === 's-4' && day >= changeDay ? 2.5 : 0)),
      limitsByRunLength(),
    );
    expect(found.map(({ store, cutters }) => [store, cutters])).toEqual([[4, 3]]);
    expect(Math.abs((found[0]?.day as number) - changeDay)).toBeLessThan(5);
    expect(Math.abs((found[0]?.size.unaccounted.shift as number) - 2.5)).toBeLessThan(0.1);
  });
  it('are found by value where nothing is ever unaccounted for', () => {
    const still = charted(1, () => 0);
    const fallen = (values: Float64Array): Float64Array =>
      values.map((value, i) =>
        still.people.tests[i]?.store === 's-4' && (still.people.day[i] as number) >= changeDay
          ? value - 1.5
          : value,
      );
    const sd = { ...still.people.sd, unaccounted: still.people.sd.unaccounted.map(() => 0) };
    const left = { ...still.left, value: fallen(still.left.value) };
    const found = storeChanges({ ...still, people: { ...still.people, sd }, left }, limitsByRunLength());
    expect(found.map(({ store, cutters }) => [store, cutters])).toEqual([[4, 3]]);
  });
  it('are not one person losing more, and are rare where nothing changes', () => {
    const alone = charted(2, (_, day, cutter) => (cutter === 'c-13' && day >= changeDay ? 2.5 : 0));
    expect(storeChanges(alone, limitsByRunLength())).toEqual([]);
    const none = [3, 4, 5, 6].map(
      (seed) =>
        storeChanges(
          charted(seed, () => 0),
          limitsByRunLength(),
        ).length,
    );
    expect(none.reduce((sum, count) => sum + count, 0)).toBeLessThanOrEqual(1);
  });
});
