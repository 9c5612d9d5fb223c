import type { Chain } from '../../catalog/chain.ts';
import { summedMoney } from '../../money/summedMoney.ts';
import type { Habit } from '../cutterFindings.ts';
import type { FindingRow, LossRow } from '../found.ts';
import { findingId } from '../habitFinding.ts';
import { habitText } from '../habitText.ts';

/** A habit's finding with its losses by store and item. */
export type ToldHabit = { finding: FindingRow; losses: LossRow[] };

const mostTests = 12;

/**
 * One habit of a cutter or a room told on several items as one finding on all: effect and interval are those of the pooled
 * effects, money is that of the items told, losses stay by item.
 */
export const pooledFinding = (own: readonly ToldHabit[], whole: Habit, chain: Chain): ToldHabit => {
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
    losses: own.flatMap((one) => one.losses),
    finding: {
      ...first,
      ...amounts,
      findingId: findingId(whole.kind, store, first.cutter, ''),
      store,
      item: '',
      items,
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
