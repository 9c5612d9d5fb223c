import { describe, expect, it } from 'vitest';
import type { Chain } from '../../../src/catalog/chain.ts';
import { outcomes } from '../../../src/catalog/outcomes.ts';
import type { Habit } from '../../../src/findings/cutterFindings.ts';
import type { FindingRow, LossRow } from '../../../src/findings/found.ts';
import { pooledFindings, type ToldHabit } from '../../../src/findings/memory/pooledFindings.ts';
import type { EffectRow } from '../../../src/model/modeled.ts';

const chain = {
  language: 'en-US',
  currency: 'USD',
  thresholds: { effect_points: 1, money_per_week: 0, chance: 0.9 },
} as Chain;

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
const told = (item: string, over: Partial<FindingRow> = {}): ToldHabit => ({
  habit: habitOf(rows(3, { item })),
  losses: [{ store: 's1', item, habit: 'over-trimming', moneyPerWeek: 30 } as LossRow],
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
    ...over,
  } as FindingRow,
});
const pooled = (points: number, tests = 25): EffectRow[] => rows(points, { kind: 'cutter', item: '', tests });
const found = (own: readonly ToldHabit[], effects = pooled(2.5)) => pooledFindings(own, effects, chain);

describe('one habit on several items', () => {
  it('is one finding on all items with the pooled effect, its items, and money that adds up', () => {
    const [one, ...more] = found([told('1'), told('2')]);
    expect(more).toEqual([]);
    const { finding, losses } = one as ToldHabit;
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
    expect(finding.headline).toContain('against the others, seen on 1 and 2');
  });
  it('adds the half widths of its money, as one person errs on all items to the same side', () => {
    const [all] = found([told('1'), told('2')]);
    expect([all?.finding.moneyLow, all?.finding.moneyHigh]).toEqual([40, 80]);
  });
  it('is news only where every item is', () => {
    const fresh = { status: 'new' as const };
    expect(found([told('1', fresh), told('2', fresh)])[0]?.finding.status).toBe('new');
    expect(found([told('1'), told('2', fresh)])[0]?.finding.status).toBe('continuing');
  });
  it('stays by item where it is of one item, the pooled effect does not show it, or most tests lie elsewhere', () => {
    expect(found([told('1')])[0]?.finding.item).toBe('1');
    expect(found([told('1'), told('2')], pooled(0.8)).map((one) => one.finding.item)).toEqual(['1', '2']);
    expect(found([told('1'), told('2')], pooled(2.5, 50))).toHaveLength(2);
    expect(found([told('1'), told('2')], [])).toHaveLength(2);
  });
  it('leaves alone what is resolved, of a room, or of another cutter or side', () => {
    const resolved = { status: 'resolved' as const };
    expect(found([told('1', resolved), told('2')])).toHaveLength(2);
    expect(found([told('1', { cutter: '' }), told('2', { cutter: '' })])).toHaveLength(2);
    expect(found([told('1'), told('2', { cutter: 'c2' })])).toHaveLength(2);
    expect(found([told('1'), told('2', { effect: 3 })])).toHaveLength(2);
  });
});
