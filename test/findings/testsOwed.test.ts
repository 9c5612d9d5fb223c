import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/catalog/chain.ts';
import { type OwedInput, testsOwed } from '../../src/findings/testsOwed.ts';
import type { MeasuredTest } from '../../src/measure/measured.ts';
import type { EffectRow } from '../../src/model/modeled.ts';

const chain = {
  language: 'en-US',
  currency: 'USD',
  freshness: { expect_every_days: 7, stale_after_days: 21 },
} as Chain;
const asOfDay = 20000;
const test = (daysAgo: number): MeasuredTest => ({ store: 's1', cutDay: asOfDay - daysAgo }) as MeasuredTest;

/** One cutter's main cut and value on an item. */
const effects = (
  id: string,
  { chanceBeyond, sd, testsNeeded }: { chanceBeyond: number; sd: number; testsNeeded: number },
): EffectRow[] =>
  (['main_cut', 'value'] as const).map(
    (outcome) =>
      ({
        kind: 'cutter-item',
        id,
        store: 's1',
        item: '180',
        outcome,
        chanceBeyond,
        sd: outcome === 'value' ? sd : 1,
        testsNeeded,
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
  it('are ranked by what one test would settle: money in doubt x how open the question is, per test', () => {
    const rows = owed({
      effects: [
        ...effects('sure', { chanceBeyond: 0.99, sd: 0.2, testsNeeded: 2 }),
        ...effects('open', { chanceBeyond: 0.5, sd: 0.2, testsNeeded: 4 }),
        ...effects('small', { chanceBeyond: 0.5, sd: 0.2, testsNeeded: 4 }),
        ...effects('unknown', { chanceBeyond: 0.5, sd: Number.NaN, testsNeeded: 1 }),
      ],
      shares: kg({ sure: 100, open: 100, small: 10 }),
    });
    // a week: 0.2 x 100 = 20 in doubt; settled by one test 20 x 1 / 4, 2 / 4, 20 x 0.0396 / 2
    expect(rows.map((row) => row.cutter)).toEqual(['open', 'small', 'sure', 'unknown']);
    expect(rows[0]?.why).toContain('$20.00 a week either way is in doubt');
    expect(rows[3]?.why).toBe('to compare fairly (reliability 0.7)');
  });
  it('are not asked where ten tests would not settle it, or nothing is open', () => {
    const none = [11, 0].flatMap((testsNeeded) =>
      effects(`c${testsNeeded}`, { chanceBeyond: 0.5, sd: 1, testsNeeded }),
    );
    expect(owed({ effects: none })).toEqual([]);
  });
});
