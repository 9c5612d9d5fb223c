import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/catalog/chain.ts';
import { type OwedInput, testsOwed } from '../../src/findings/testsOwed.ts';
import type { MeasuredTest } from '../../src/measure/measured.ts';
import type { EffectRow } from '../../src/model/modeled.ts';
import { normalCdf, normalQuantile } from '../../src/tables/normalDistribution.ts';

const chain = {
  thresholds: { effect_points: 1, chance: 0.9 },
  language: 'en-US',
  currency: 'USD',
  freshness: { expect_every_days: 7, stale_after_days: 21 },
} as Chain;
/** Mean of a function of a standard normal, over even steps of its distribution. */
const average = (of: (z: number) => number): number => {
  const steps = 20000;
  let sum = 0;
  for (let k = 0; k < steps; k++) sum += of(normalQuantile((k + 0.5) / steps));
  return sum / steps;
};

const asOfDay = 20000;
const test = (daysAgo: number): MeasuredTest => ({ store: 's1', cutDay: asOfDay - daysAgo }) as MeasuredTest;

/** One cutter's main cut, points, and its value, currency per kg, on an item; one test has an SD of 2 points. */
const effects = (
  id: string,
  { effect, sd = 0.8, value = -0.1 }: { effect: number; sd?: number; value?: number },
): EffectRow[] =>
  (['main_cut', 'value'] as const).map(
    (outcome) =>
      ({
        kind: 'cutter-item',
        id,
        store: 's1',
        item: '180',
        outcome,
        effect: outcome === 'value' ? value : effect,
        sd: outcome === 'value' ? 0.2 : sd,
        testSd: 2,
      }) as EffectRow,
  );
const owed = (over: Partial<OwedInput>) =>
  testsOwed({
    chain,
    asOfDay,
    used: [],
    effects: [],
    reference: { stores: [] },
    shares: { cutters: new Map(), stores: new Map() },
    ...over,
  });
const kg = (of: Record<string, number>): OwedInput['shares'] => ({
  stores: new Map(),
  cutters: new Map(
    Object.entries(of).map(([cutter, kgPerWeek]) => [
      `${cutter}\u0000180`,
      [{ store: 's1', region: '', kgPerWeek, kgSeen: 1 }],
    ]),
  ),
});

describe('tests owed', () => {
  it('are what a store is behind its own plan of the last four weeks', () => {
    const stores = [{ store: 's1', name: '', region: '', scaleDivisionKg: 0.01, testsOwedPerWeek: 2 }];
    const rows = owed({ used: [test(1), test(20), test(28)], reference: { stores } });
    expect(rows.map((row) => [row.store, row.cutter, row.tests, row.by])).toEqual([
      ['s1', '', 6, '2024-11-01'],
    ]);
    expect(owed({ used: Array.from({ length: 8 }, () => test(3)), reference: { stores } })).toEqual([]);
  });
  it('are of losses that are open, the most money at stake first', () => {
    const rows = owed({
      effects: [
        ...effects('told', { effect: -2.5 }),
        ...effects('open', { effect: -0.9 }),
        ...effects('dear', { effect: -0.9, value: -0.3 }),
        ...effects('unsold', { effect: -0.9, value: Number.NaN }),
        ...effects('good', { effect: 1.2 }),
      ],
      shares: kg({ told: 100, open: 100, dear: 100, unsold: 100, good: 100 }),
    });
    expect(rows.map((row) => row.cutter)).toEqual(['dear', 'open', 'unsold']);
    // losses of a normal value, gains as 0 (summed over even steps): N(-.1, .2) and N(-.3, .2) per kg, 100 kg a week
    const lossOf = (mean: number): number => 100 * average((z) => Math.max(0, -mean - 0.2 * z));
    expect(rows[0]?.atStake).toBeCloseTo(lossOf(-0.3), 1);
    expect(rows[1]?.atStake).toBeCloseTo(lossOf(-0.1), 1);
    // chance of a loss of a point or more: P(N(-.9, .8) < -1) = .45
    expect(rows[1]?.why).toBe(
      'whether main cut is lost is open (45% likely); about $13.96 a week is at stake',
    );
    expect(rows[2]?.why).toBe('whether main cut is lost is open (45% likely)');
  });

  it('are as many as are likely as not to tell whether there is a loss', () => {
    const of = (effect: number, sd: number): number | undefined =>
      owed({ effects: effects('c1', { effect, sd }) })[0]?.tests;
    // what n tests would leave of the chance that the level is below -1, over what they may show
    const settled = (effect: number, sd: number, n: number): number => {
      const after = 1 / Math.sqrt(1 / sd ** 2 + n / 4);
      return average((z) => {
        const chance = normalCdf((-1 - effect - Math.sqrt(sd ** 2 - after ** 2) * z) / after);
        return chance >= 0.9 || chance <= 0.25 ? 1 : 0;
      });
    };
    for (const [effect, sd] of [
      [-1.7, 0.8],
      [-0.7, 1.2],
      [-1, 1.5],
    ] as const) {
      const tests = of(effect, sd) as number;
      expect(tests).toBeGreaterThan(1);
      expect(settled(effect, sd, tests)).toBeGreaterThan(0.5 - 0.001);
      expect(settled(effect, sd, tests - 1)).toBeLessThan(0.5 + 0.001);
    }
  });

  it('are asked of one cutter on one item, the one with most at stake', () => {
    const own = effects('c1', { effect: -0.9 });
    const other = own.map((row) => ({ ...row, item: '112A' }));
    const shares = kg({ c1: 100 });
    shares.cutters.set('c1\u0000112A', [{ store: 's1', region: '', kgPerWeek: 300, kgSeen: 1 }]);
    expect(owed({ effects: [...own, ...other], shares }).map(({ item }) => item)).toEqual(['112A']);
  });

  it('are not asked where twenty tests would hardly tell, or nothing is open', () => {
    const none = [...effects('slow', { effect: -1, sd: 0.4 }), ...effects('sure', { effect: 0.5, sd: 0.5 })];
    expect(owed({ effects: none })).toEqual([]);
  });
});
