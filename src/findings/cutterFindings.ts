import type { Chain } from '../catalog/chain.ts';
import type { FindingKindName } from '../faults/findingKinds.ts';
import type { EffectRow } from '../model/modeled.ts';
import { listWithinFalseShare } from './fairness/bayesianFalseShare.ts';

/** A habit seen in one id's effects over all outcomes, and the outcome it is named on. */
export type Habit = { kind: FindingKindName; on: EffectRow; value: EffectRow };

/**
 * Habits of every cutter x item and rooms of every store x item, decided over all outcomes at once. Raised where the
 * chance beyond the chain's threshold is at least the chain's chance, as long as at most one in ten of the people (and of
 * the rooms) named is to be expected false. Ids with too few tests are never named.
 */
export const habitsOf = (effects: readonly EffectRow[], chain: Chain): Habit[] => {
  const byId = new Map<string, EffectRow[]>();
  for (const row of effects) {
    if (row.kind !== 'cutter-item' && row.kind !== 'store-item') continue;
    const key = `${row.kind}\u0000${row.id}\u0000${row.item}`;
    byId.set(key, [...(byId.get(key) ?? []), row]);
  }
  const habits = [...byId.values()].flatMap((rows) => habitOf(rows, chain));
  return [
    ...withinFalseShare(habits.filter(({ kind }) => kind !== 'room-habit')),
    ...withinFalseShare(habits.filter(({ kind }) => kind === 'room-habit')),
  ];
};

const mostFalse = 0.1;

const withinFalseShare = (habits: readonly Habit[]): Habit[] => {
  const { isListed } = listWithinFalseShare(
    habits.map(({ on }) => on.chanceBeyond),
    mostFalse,
  );
  return habits.filter((_, i) => isListed[i]);
};

const habitOf = (rows: readonly EffectRow[], chain: Chain): Habit[] => {
  const of = (outcome: EffectRow['outcome']): EffectRow =>
    rows.find((row) => row.outcome === outcome) as EffectRow;
  const [main, value] = [of('main_cut'), of('value')];
  if (main.status !== 'ok') return [];
  const isBeyond = (row: EffectRow): boolean =>
    Math.abs(row.effect) > chain.thresholds.effect_points && row.chanceBeyond >= chain.thresholds.chance;
  const trimmed = of('lean_trim').effect + of('fat').effect;
  const isLow = isBeyond(main) && main.effect < 0;
  if (main.kind === 'store-item') return isLow ? [{ kind: 'room-habit', on: main, value }] : [];
  if (isBeyond(of('unaccounted')) && of('unaccounted').effect > 0)
    return [{ kind: 'missing-product', on: of('unaccounted'), value }];
  if (
    isBeyond(of('saleable')) &&
    of('saleable').effect > 0 &&
    of('unaccounted').low < 0 &&
    of('unaccounted').high < 0
  )
    return [{ kind: 'tare-question', on: of('saleable'), value }];
  if (isLow && trimmed > -main.effect / 2) return [{ kind: 'over-trimming', on: main, value }];
  return isBeyond(main) && main.effect > 0 && trimmed < -main.effect / 2
    ? [{ kind: 'under-trimming', on: main, value }]
    : [];
};
