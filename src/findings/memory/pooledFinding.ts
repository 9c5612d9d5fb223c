import type { Chain } from '../../catalog/chain.ts';
import { itemNames } from '../../catalog/itemNames.ts';
import type { SourceError } from '../../money/summedMoney.ts';
import type { Habit } from '../cutterFindings.ts';
import type { FindingRow, LossRow } from '../found.ts';
import { findingId } from '../habitFinding.ts';
import { habitText } from '../habitText.ts';
import { moneyOfOne } from '../lossRows.ts';

/** A habit's finding with its losses by store and item, and the SD of the value lost per kg. */
export type ToldHabit = { finding: FindingRow; losses: LossRow[]; valueSd: number };

const mostTests = 12;

/**
 * One habit of a cutter or a room told on several items as one finding on all: effect and interval are those of the pooled
 * effects, money is that of the items told, losses stay by item.
 */
export const pooledFinding = (own: readonly ToldHabit[], whole: Habit, chain: Chain): ToldHabit => {
  const first = (own[0] as ToldHabit).finding;
  const findings = own.map((one) => one.finding);
  const items = [...new Set(findings.map((finding) => finding.item))].sort();
  const losses = own.flatMap((one) => sharedLosses(one, whole));
  const parts = findings.flatMap((finding) => finding.moneyParts ?? []);
  const money = { ...moneyOfOne(losses), isWeekly: parts.every((part) => part.isWeekly) };
  const store = whole.on.store || first.store;
  const against = `${first.comparedWith}, ${itemsText(items, chain)}`;
  const { isWeekly: _, ...amounts } = money;
  return {
    losses,
    valueSd: whole.value.sd,
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

/** That the size is the mean of all items, and on which of them the habit shows by itself. */
const itemsText = (items: readonly string[], chain: Chain): string => {
  const all = new Set(chain.items.map((entry) => entry.item)).size;
  return items.length === all
    ? `on average over all ${all} items, clear on each`
    : `on average over all items, clear by itself on ${items.slice(0, -1).map(itemNames(chain)).join('; ')} and ${itemNames(chain)(items.at(-1) ?? '')}`;
};

/** Evidence of every item in turn, at most 12 tests. */
const spread = (perItem: readonly FindingRow['evidence'][]): FindingRow['evidence'] => {
  const longest = perItem.reduce((most, own) => Math.max(most, own.length), 0);
  return Array.from({ length: longest }, (_, k) => perItem.flatMap((own) => own.slice(k, k + 1)))
    .flat()
    .slice(0, mostTests);
};

/**
 * Losses of one item with what of their error is the item's own. The part that the items share is known as well as the
 * cutter's pooled value is, so it is that SD's share of the item's.
 */
const sharedLosses = ({ finding, losses, valueSd }: ToldHabit, { value }: Habit): SourcedLoss[] => {
  const ratio = value.sd / valueSd;
  const shared = ratio < 1 ? ratio : 1;
  const own = Math.sqrt(1 - shared ** 2);
  return losses.map((loss) => {
    const [below, above] = [loss.moneyPerWeek - loss.low, loss.high - loss.moneyPerWeek];
    return {
      ...loss,
      errors: [
        { source: '', below: shared * below, above: shared * above },
        { source: finding.item, below: own * below, above: own * above },
      ],
    };
  });
};
type SourcedLoss = LossRow & { errors: readonly SourceError[] };
