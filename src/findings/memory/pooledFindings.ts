import type { Chain } from '../../catalog/chain.ts';
import type { EffectRow } from '../../model/modeled.ts';
import { summedMoney } from '../../money/summedMoney.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import type { Habit } from '../cutterFindings.ts';
import type { FindingRow, LossRow } from '../found.ts';
import { findingId } from '../habitFinding.ts';
import { habitText } from '../habitText.ts';

/** A habit's finding on one item with its losses by store. */
export type ToldHabit = { habit: Habit; finding: FindingRow; losses: LossRow[] };

const mostTests = 12;
/** Chance from which the pooled effect shows a habit that its items tell, and the least share of the tests on these items. */
const heldFrom = 0.8;
const leastShare = 0.5;

/**
 * One habit told on several items of a cutter is one finding on all items, where the cutter's pooled effect shows it too:
 * effect and interval are the pooled ones, money is that of the items told, losses stay by item. What is resolved, of
 * rooms, or seen on a smaller part of the cutter's tests stays as it is.
 */
export const pooledFindings = (
  told: readonly ToldHabit[],
  effects: readonly EffectRow[],
  chain: Chain,
): ToldHabit[] => {
  const pooled = groupedBy(
    effects.filter((row) => row.kind === 'cutter'),
    (row) => row.id,
  );
  const isKept = ({ finding }: ToldHabit): boolean => finding.cutter === '' || finding.status === 'resolved';
  const kept = told.filter(isKept);
  const groups = groupedBy(
    told.filter((one) => !isKept(one)),
    ({ finding }) => `${finding.kind}\u0000${finding.cutter}\u0000${Math.sign(finding.effect)}`,
  );
  return [
    ...kept,
    ...[...groups.values()].flatMap((own) => {
      const whole = wholeHabit(own, pooled.get((own[0] as ToldHabit).finding.cutter) ?? [], chain);
      return whole === undefined ? own : [merged(own, whole, chain)];
    }),
  ];
};

/** The habit on the cutter's pooled effects; undefined where they do not show it, or it is told on one item only. */
const wholeHabit = (
  own: readonly ToldHabit[],
  rows: readonly EffectRow[],
  chain: Chain,
): Habit | undefined => {
  const { habit } = own[0] as ToldHabit;
  const on = rows.find((row) => row.outcome === habit.on.outcome);
  const value = rows.find((row) => row.outcome === 'value');
  if (own.length < 2 || on === undefined || value === undefined || on.status !== 'ok') return undefined;
  const tests = own.reduce((sum, one) => sum + one.finding.tests, 0);
  const isHeld =
    Math.sign(on.effect) === Math.sign(habit.on.effect) &&
    Math.abs(on.effect) > chain.thresholds.effect_points &&
    on.chanceBeyond >= heldFrom &&
    tests >= leastShare * on.tests;
  return isHeld ? { kind: habit.kind, on, value, all: rows } : undefined;
};

const merged = (own: readonly ToldHabit[], whole: Habit, chain: Chain): ToldHabit => {
  const first = (own[0] as ToldHabit).finding;
  const findings = own.map((one) => one.finding);
  const items = [...new Set(findings.map((finding) => finding.item))].sort();
  const parts = findings.flatMap((finding) => finding.moneyParts ?? []);
  const money = { ...moneyOf(own), isWeekly: parts.every((part) => part.isWeekly) };
  const store = whole.on.store || first.store;
  const list = new Intl.ListFormat('en', { type: 'conjunction' }).format(items);
  const against = `${first.comparedWith}, seen on ${list}`;
  const { isWeekly: _, ...amounts } = money;
  return {
    habit: whole,
    losses: own.flatMap((one) => one.losses),
    finding: {
      ...first,
      ...amounts,
      findingId: findingId(whole.kind, store, first.cutter, ''),
      store,
      item: '',
      items,
      status: findings.some(({ status }) => status === 'continuing') ? 'continuing' : 'new',
      since: findings.map((finding) => finding.since).sort()[0] as string,
      effect: whole.on.effect,
      low: whole.on.low,
      high: whole.on.high,
      chance: whole.on.chanceBeyond,
      tests: whole.on.tests,
      comparedWith: against,
      evidence: spread(findings.map((finding) => finding.evidence)),
      moneyParts: parts,
      ...(money.isWeekly ? {} : { ofTestsSeen: true }),
      ...habitText(whole, { items: 'all items', against, money }, chain),
    },
  };
};

/** Evidence of every item in turn, at most 12 tests. */
const spread = (perItem: readonly FindingRow['evidence'][]): FindingRow['evidence'] => {
  const longest = perItem.reduce((most, own) => Math.max(most, own.length), 0);
  return Array.from({ length: longest }, (_, k) => perItem.flatMap((own) => own.slice(k, k + 1)))
    .flat()
    .slice(0, mostTests);
};

/** Money of the items together: one person's, so that its errors add. */
const moneyOf = (own: readonly ToldHabit[]): Pick<FindingRow, 'moneyPerWeek' | 'moneyLow' | 'moneyHigh'> => {
  const { value, low, high } = summedMoney(
    own.map(({ finding: { moneyPerWeek, moneyLow, moneyHigh } }) => ({
      value: moneyPerWeek,
      errors: [{ source: '', below: moneyPerWeek - moneyLow, above: moneyHigh - moneyPerWeek }],
    })),
  );
  return { moneyPerWeek: value, moneyLow: low, moneyHigh: high };
};
