import { describe, expect, it } from 'vitest';
import type { Chain } from '../../../src/catalog/chain.ts';
import { outcomes } from '../../../src/catalog/outcomes.ts';
import type { Habit } from '../../../src/findings/cutterFindings.ts';
import type { FindingRow, LossRow } from '../../../src/findings/found.ts';
import { habitGroups } from '../../../src/findings/memory/habitGroups.ts';
import { pooledFinding, type ToldHabit } from '../../../src/findings/memory/pooledFinding.ts';
import type { EffectRow } from '../../../src/model/modeled.ts';
import { summedMoney } from '../../../src/money/summedMoney.ts';

const chain = {
  language: 'en-US',
  currency: 'USD',
  items: [],
  thresholds: { effect_points: 1, money_per_week: 0, chance: 0.9 },
} as unknown as Chain;

/** All outcomes of one id that leaves `points` of main cut on the trim; value -0.1 a kg per point. */
const rows = (points: number, over: Partial<EffectRow>): EffectRow[] =>
  outcomes.map((outcome) => {
    const effect = { main_cut: -points, lean_trim: points, value: -0.1 * points }[outcome as 'value'] ?? 0;
    const sd = outcome === 'value' ? 0.02 : 0.3;
    return {
      kind: 'cutter-item',
      id: 'c1',
      store: 's1',
      outcome,
      tests: 10,
      status: 'ok',
      effect,
      sd,
      low: effect - 0.6,
      high: effect + 0.6,
      chanceBeyond: Math.abs(effect) > 1 ? 0.98 : 0,
      ...over,
    } as EffectRow;
  });
const habitOf = (all: readonly EffectRow[]): Habit => ({
  kind: 'over-trimming',
  on: all.find((row) => row.outcome === 'main_cut') as EffectRow,
  value: all.find((row) => row.outcome === 'value') as EffectRow,
  all,
});

/** 3 points on an item, worth 30 a week (20 to 40). */
const told = (item: string): ToldHabit => ({
  valueSd: 0.02,
  losses: [{ store: 's1', item, habit: 'over-trimming', moneyPerWeek: 30, low: 20, high: 40 } as LossRow],
  finding: {
    findingId: item,
    kind: 'over-trimming',
    store: 's1',
    cutter: 'c1',
    item,
    outcome: 'main_cut',
    status: 'continuing',
    since: `2026-0${item}-01`,
    effect: -3,
    tests: 10,
    moneyPerWeek: 30,
    moneyLow: 20,
    moneyHigh: 40,
    comparedWith: 'the others',
    evidence: [1, 2].map((n) => ({ store: 's1', testId: `${item}-${n}`, sourceFile: 'f', sourceLine: n })),
    moneyParts: [{ store: 's1', item, kg: 100, isWeekly: true, lossPerKg: 0.3, money: 30 }],
  } as FindingRow,
});
const pooled = (points: number, tests = 25): EffectRow[] => rows(points, { kind: 'cutter', item: '', tests });
describe('one habit on several items', () => {
  it('is one finding on all items with the pooled effect, its items, and money that adds up', () => {
    const { finding, losses } = pooledFinding([told('1'), told('2')], habitOf(pooled(2.5)), chain);
    expect([finding.item, finding.items, finding.effect, finding.since, finding.status]).toEqual([
      '',
      ['1', '2'],
      -2.5,
      '2026-01-01',
      'continuing',
    ]);
    expect(finding.moneyPerWeek).toBe(60);
    expect(losses.reduce((sum, loss) => sum + loss.moneyPerWeek, 0)).toBe(60);
    expect(finding.moneyParts?.map(({ item, money }) => [item, money])).toEqual([
      ['1', 30],
      ['2', 30],
    ]);
    expect(finding.evidence.map(({ testId }) => testId)).toEqual(['1-1', '2-1', '1-2', '2-2']);
    expect(finding.headline).toContain('c1 on all items: main cut 2.5 points below expected');
    expect(finding.headline).toContain('gone to lean trim (2.5)');
    expect(finding.headline).toContain(
      'against the others, on average over all items, clear by itself on 1 and 2',
    );
    const items = [
      { item: '1', name: 'Beef chuck roll', spec: '' },
      { item: '2', name: 'Pork loin', spec: '' },
    ] as unknown as Chain['items'];
    const seen = (of: Chain['items']) =>
      pooledFinding([told('1'), told('2')], habitOf(pooled(2.5)), { ...chain, items: of }).finding
        .comparedWith;
    expect(seen([...items, { ...items[0], item: '3' } as Chain['items'][number]])).toBe(
      'the others, on average over all items, clear by itself on chuck roll (1) and pork loin (2)',
    );
    expect(seen(items)).toBe('the others, on average over all 2 items, clear on each');
  });
  it('widens its money by what the items share: here all of it, half, or nothing; losses add up to the same', () => {
    const money = (sd: number) => {
      const rest = pooled(2.5).map((row) => (row.outcome === 'value' ? { ...row, sd } : row));
      const { finding, losses } = pooledFinding([told('1'), told('2')], habitOf(rest), chain);
      const sum = summedMoney(
        losses.map((loss) => ({ value: loss.moneyPerWeek, errors: loss.errors ?? [] })),
      );
      expect([finding.moneyLow, finding.moneyHigh]).toEqual([sum.low, sum.high]);
      return finding.moneyHigh - 60;
    };
    expect(money(0.02)).toBeCloseTo(20, 12);
    expect(money(0.03)).toBeCloseTo(20, 12);
    expect(money(0.01)).toBeCloseTo(10 * Math.sqrt(4 / 4 + 2 * (3 / 4)), 12);
    expect(money(0)).toBeCloseTo(10 * Math.SQRT2, 12);
  });
});

describe('habits on several items', () => {
  const on = (item: string, over: Partial<EffectRow> = {}) => habitOf(rows(3, { item, ...over }));
  const groups = (habits: readonly Habit[], effects = pooled(2.5)) =>
    habitGroups(habits, () => effects, chain).map(({ habits, whole }) => [
      habits.map((habit) => habit.on.item).join(),
      whole?.on.effect,
    ]);
  it('are one where the pooled effect of the same cutter or room shows it', () => {
    expect(groups([on('1'), on('2')])).toEqual([['1,2', -2.5]]);
    const rooms = ['1', '2', '3'].map((item) => on(item, { kind: 'store-item', id: 's1' }));
    expect(groups(rooms, pooled(2.5, 40))).toEqual([['1,2,3', -2.5]]);
  });
  it('stay apart on one item, where the pooled effect does not show it, or most tests lie elsewhere', () => {
    const apart = [
      ['1', undefined],
      ['2', undefined],
    ];
    expect(groups([on('1')])).toEqual([['1', undefined]]);
    expect(groups([on('1'), on('2')], pooled(0.8))).toEqual(apart);
    expect(groups([on('1'), on('2')], pooled(2.5, 50))).toEqual(apart);
    expect(groups([on('1'), on('2')], [])).toEqual(apart);
  });
  it('stay apart where they are of another cutter, a room, or the other side', () => {
    expect(groups([on('1'), on('2', { id: 'c2' })])).toHaveLength(2);
    expect(groups([on('1'), on('2', { kind: 'store-item' })])).toHaveLength(2);
    expect(groups([on('1'), habitOf(rows(-3, { item: '2' }))])).toHaveLength(2);
  });
});
