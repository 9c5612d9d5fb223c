import { describe, expect, it } from 'vitest';
import type { Chain } from '../../../src/catalog/chain.ts';
import { driftFinding, type ToldDrift } from '../../../src/findings/change/driftFindings.ts';
import { driftLosses } from '../../../src/findings/change/driftLosses.ts';
import type { LevelChange } from '../../../src/findings/change/levelChanges.ts';
import { presentLevels } from '../../../src/findings/change/presentLevel.ts';
import { timeLevels } from '../../../src/findings/change/timeLevels.ts';
import type { LossRow } from '../../../src/findings/found.ts';
import { noMoney } from '../../../src/findings/writtenFinding.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';
import { type MadeTest, madePeople } from './timeSeries.ts';

const firstDay = 20000;
/**
 * 40 cutters of 30 tests, one in 10 days, levels with an SD of 0.7 points; the first cutter lies as given before and after
 * test 8, but for the last tests as `wrong` says.
 */
const levelsOf = (before: number, after: number, wrong: readonly number[] = []) => {
  const draws = seededDraws(3, 3);
  const made = Array.from({ length: 40 }, (_, cutter) => {
    const level = 0.7 * draws.normal();
    return Array.from({ length: 30 }, (__, k): MadeTest => {
      const own = k < 8 ? before : (wrong[29 - k] ?? after);
      const points = cutter > 0 ? level + 1.9 * draws.normal() : own;
      return {
        store: `s-${cutter % 8}`,
        cutter: `c-${cutter}`,
        item: `item ${k % 2}`,
        day: firstDay + 10 * k,
        points,
      };
    });
  }).flat();
  const levels = timeLevels(madePeople(made), { coaching: [], cutters: [] });
  const cutter = levels.people.cutter.levels.indexOf('c-0');
  const own = levels.people.ofCutter[cutter] as Int32Array;
  const change = {
    cutter,
    item: -1,
    day: firstDay + 80,
    before: own.slice(0, 8),
    after: own.slice(8),
  } as LevelChange;
  const sizeOf = presentLevels(levels);
  return { levels, change, saleable: sizeOf(change, 'saleable'), value: sizeOf(change, 'value') };
};
const kg = new Map(
  [0, 1].map((k) => [`c-0\u0000item ${k}`, [{ store: 's-0', region: '', kgPerWeek: 100, kgSeen: 1 }]]),
);

describe('the level after a change', () => {
  it('is held against the shrunken level before: of a lucky high little is left', () => {
    const { saleable } = levelsOf(2, 0);
    // 8 tests of 1.9 points against levels of 0.7: 0.52 of 2 points stays
    expect((saleable?.fall.mean as number) * 1.9).toBeGreaterThan(-1.6);
    expect((saleable?.fall.mean as number) * 1.9).toBeLessThan(-0.5);
    expect(Math.abs((saleable?.present.mean as number) * 1.9)).toBeLessThan(0.3);
  });
  it('costs what is lost against expected today, not the way down from above it', () => {
    const { levels, change, value } = levelsOf(3, -0.5);
    const { losses, fall } = driftLosses(change, levels, value as NonNullable<typeof value>, kg);
    const today = losses.reduce((sum, loss) => sum + loss.moneyPerWeek, 0);
    // 0.5 points x 0.3 a kg and point x 200 kg, shrunken
    expect(today).toBeGreaterThan(10);
    expect(today).toBeLessThan(35);
    expect(fall).toBeGreaterThan(2 * today);
  });
  it('costs at most the fall', () => {
    const { levels, change, value } = levelsOf(-4, -6);
    const { losses, fall } = driftLosses(change, levels, value as NonNullable<typeof value>, kg);
    expect(losses.reduce((sum, loss) => sum + loss.moneyPerWeek, 0)).toBeCloseTo(fall, 9);
  });
  it('is unknown where no item has tests on both sides', () => {
    const { levels, change } = levelsOf(0, 0);
    const items = (code: number) =>
      Int32Array.from(change.before).filter((i) => levels.people.item.codes[i] === code);
    expect(
      presentLevels(levels)({ ...change, before: items(0), after: items(1) }, 'saleable'),
    ).toBeUndefined();
  });
});

describe('the money of a change', () => {
  const chain = { language: 'en-US', currency: 'USD', thresholds: {} } as Chain;
  const loss = (item: string): LossRow =>
    ({ store: 's1', item, habit: 'drift', moneyPerWeek: 30, low: 20, high: 40 }) as LossRow;
  const drift = {
    facts: { kind: 'drift', store: 's1', cutter: 'c1', item: '', effect: -3, money: noMoney, evidence: [] },
    losses: [loss('1'), loss('2')],
  } as unknown as ToldDrift;
  const told = (...carried: string[]) => driftFinding(drift, ({ item }) => carried.includes(item), chain);

  it('is that of all items, with errors of one person', () => {
    const { finding, losses } = told();
    expect([finding.moneyPerWeek, finding.moneyLow, finding.moneyHigh]).toEqual([60, 40, 80]);
    expect(losses).toHaveLength(2);
  });
  it('leaves out what a habit of the same cutter carries, and says so: nothing is counted twice', () => {
    const part = told('1');
    expect([part.finding.moneyPerWeek, part.losses.map(({ item }) => item)]).toEqual([30, ['2']]);
    expect(part.finding.headline).toContain('$30.00 a week ($20.00 to $40.00) beside what the habit');
    const none = told('1', '2');
    expect(none.finding.moneyPerWeek).toBeNaN();
    expect(none.losses).toEqual([]);
    expect(none.finding.headline).toContain('its cost stands with the habit');
  });
});
