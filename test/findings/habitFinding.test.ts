import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/catalog/chain.ts';
import { type Outcome, outcomes } from '../../src/catalog/outcomes.ts';
import type { Habit } from '../../src/findings/cutterFindings.ts';
import { type HabitContext, habitFinding, isWorthTelling } from '../../src/findings/habitFinding.ts';
import type { WeeklyShare } from '../../src/findings/weeklyShares.ts';
import type { EffectRow } from '../../src/model/modeled.ts';
import { boughtTest } from './buying/boughtChain.ts';

const chain = (moneyPerWeek = 0): Chain =>
  ({
    language: 'en-US',
    currency: 'USD',
    thresholds: { effect_points: 1, money_per_week: moneyPerWeek, chance: 0.9 },
  }) as Chain;

/** 3 points of main cut gone to lean trim (2) and fat (1); 0.2 a kg lost, 0.1 to 0.3. */
const all = outcomes.map((outcome): EffectRow => {
  const moved: Partial<Record<Outcome, number>> = { main_cut: -3, lean_trim: 2, fat: 1, value: -0.2 };
  const effect = moved[outcome] ?? 0;
  const reach = outcome === 'value' ? 0.1 : 1;
  return {
    kind: 'cutter-item',
    id: 'c1',
    store: 's1',
    item: '180',
    outcome,
    tests: 20,
    effect,
    low: effect - reach,
    high: effect + reach,
    chanceBeyond: 0.97,
  } as EffectRow;
});
const of = (outcome: Outcome): EffectRow => all.find((row) => row.outcome === outcome) as EffectRow;
const habit: Habit = { kind: 'over-trimming', on: of('main_cut'), value: of('value'), all };

/** Test i lies i points below expected. */
const tests = Array.from({ length: 20 }, (_, i) =>
  boughtTest({
    testId: `t${String(i).padStart(2, '0')}`,
    cutDay: 100 + ((7 * i) % 20),
    store: i < 15 ? 's1' : 's2',
  }),
);
const share = (store: string, kgPerWeek: number, kgSeen = 50): WeeklyShare => ({
  store,
  region: 'North',
  kgPerWeek,
  kgSeen,
});
const context = (shares: readonly WeeklyShare[], own: Chain = chain()): HabitContext => ({
  chain: own,
  testsOf: (kind, id, item) => (kind === 'cutter' && id === 'c1' && item === '180' ? tests : []),
  shares: { cutters: new Map([['c1\u0000180', [...shares]]]), stores: new Map() },
  residualOf: (test) => -Number(test.testId.slice(1)),
  coversOf: () => [],
  adjustedFor: ['grade'],
});

describe('a habit as a finding', () => {
  const told = habitFinding(habit, context([share('s1', 100), share('s2', 50)]));
  it('is worth the loss per kg x the weekly weight of each store, which adds up', () => {
    expect(
      told.losses.map((loss) => [loss.store, loss.moneyPerWeek, loss.low, loss.high, loss.tests]),
    ).toEqual([
      ['s1', 20, expect.closeTo(10, 12), expect.closeTo(30, 12), 15],
      ['s2', 10, expect.closeTo(5, 12), expect.closeTo(15, 12), 5],
    ]);
    expect(told.finding.moneyPerWeek).toBe(30);
    expect(told.finding.moneyHigh).toBeCloseTo(45, 12);
    expect(told.finding.moneyParts).toEqual([
      { store: 's1', item: '180', kg: 100, isWeekly: true, lossPerKg: 0.2, money: 20 },
      { store: 's2', item: '180', kg: 50, isWeekly: true, lossPerKg: 0.2, money: 10 },
    ]);
  });
  it('says where the weight went, the largest part first, and the step that this points to', () => {
    expect(told.finding.headline).toBe(
      'c1 on 180: main cut 3.0 points below expected (95 % interval 2.0 to 4.0), gone to lean trim (2.0) and fat (1.0), over 20 tests against the other cutters, store and grade taken out; $30.00 a week ($15.00 to $45.00). A question, not a verdict.',
    );
    expect(told.finding.step).toContain('lip');
  });
  it('rests on the 12 tests farthest to its side, in the order of days', () => {
    const ids = told.finding.evidence.map((test) => test.testId) as string[];
    expect([...ids].sort()).toEqual(tests.slice(8).map((test) => test.testId));
    const days = ids.map((id) => tests.find((test) => test.testId === id)?.cutDay as number);
    expect(days).toEqual([...days].sort((a, b) => a - b));
  });
  it("is not told below the chain's money, and where no volume is known counts the tests seen and says so", () => {
    expect(isWorthTelling(habit, context([share('s1', 100)], chain(25)))).toBe(false);
    expect(isWorthTelling(habit, context([share('s1', 130)], chain(25)))).toBe(true);
    const seen = habitFinding(habit, context([share('s1', Number.NaN, 40)]));
    expect(seen.finding.moneyPerWeek).toBeCloseTo(8, 12);
    expect(seen.finding.headline).toContain('$8.00 in the tests seen (no volume in the last 13 weeks)');
  });
  it("gives a room's money the reach of its main cut, and of value's nearer side where that is wider", () => {
    const ofRoom = (low: number, high: number) => {
      const value: EffectRow = { ...of('value'), low, high };
      const room: Habit = {
        kind: 'room-habit',
        on: { ...of('main_cut'), kind: 'store-item', id: 's1' },
        value,
        all,
      };
      const shares = { cutters: new Map(), stores: new Map([['s1\u0000180', share('s1', 100)]]) };
      const told = habitFinding(room, { ...context([]), shares, testsOf: () => tests });
      return [told.finding.moneyLow, told.finding.moneyPerWeek, told.finding.moneyHigh];
    };
    // main cut 3 points, 2 to 4: a third to either side
    expect(ofRoom(-0.6, -0.18)).toEqual([expect.closeTo(20 - 20 / 3, 9), 20, expect.closeTo(20 + 20 / 3, 9)]);
    expect(ofRoom(-0.35, -0.1)).toEqual([expect.closeTo(10, 9), 20, expect.closeTo(30, 9)]);
  });
  it('asks for no money where nothing is known to be lost', () => {
    const under: Habit = { ...habit, kind: 'under-trimming' };
    const told = habitFinding(under, context([share('s1', 100)], chain(25)));
    expect(isWorthTelling(under, context([share('s1', 100)], chain(25)))).toBe(true);
    expect([told.finding.moneyPerWeek, told.losses]).toEqual([0, []]);
    expect(told.finding.headline).not.toContain('fat cover');
  });
  it('backs under-trimming by the fat cover where it was measured', () => {
    const under: Habit = { ...habit, kind: 'under-trimming' };
    const covers = [...Array(4).fill('c1'), ...Array(8).fill('c2')].map((cutter, i) =>
      boughtTest({ testId: `f${i}`, cutter, fatCoverIn: cutter === 'c1' ? 0.4 : 0.2 }),
    );
    const told = habitFinding(under, { ...context([share('s1', 100)]), coversOf: () => covers });
    expect(told.finding.headline).toContain(
      '; fat cover measured at 0.40 in over 4 tests, 0.20 in by the others.',
    );
  });
});
