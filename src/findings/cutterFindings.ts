import type { Chain } from '../catalog/chain.ts';
import type { Outcome } from '../catalog/outcomes.ts';
import type { FindingKindName } from '../faults/findingKinds.ts';
import type { EffectRow } from '../model/modeled.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import { listWithinFalseShare } from './fairness/bayesianFalseShare.ts';

/** A habit seen in one id's effects, the outcome it is named on, and all outcomes: where the weight went. */
export type Habit = { kind: FindingKindName; on: EffectRow; value: EffectRow; all: readonly EffectRow[] };

/**
 * Habits of every cutter x item and rooms of every store x item, decided over all outcomes at once. Raised where the
 * chance beyond the chain's threshold is at least the chain's chance, as long as at most one in ten of the people (and of
 * the rooms) named is to be expected false. Ids with too few tests are never named.
 */
export const habitsOf = (effects: readonly EffectRow[], chain: Chain): Habit[] => {
  const byId = groupedBy(
    effects.filter((row) => row.kind === 'cutter-item' || row.kind === 'store-item'),
    (row) => `${row.kind}\u0000${row.id}\u0000${row.item}`,
  );
  const habits = [...byId.values()].flatMap((rows) => habitOf(rows, chain));
  return [
    ...withinFalseShare(habits.filter((habit) => !isOfRoom(habit))),
    ...withinFalseShare(habits.filter(isOfRoom)),
  ];
};

/** Whether a habit is a whole room's. */
export const isOfRoom = ({ on }: Habit): boolean => on.kind === 'store-item' || on.kind === 'store';

const mostFalse = 0.1;

const withinFalseShare = (habits: readonly Habit[]): Habit[] => {
  const { isListed } = listWithinFalseShare(
    habits.map(({ on }) => on.chanceBeyond),
    mostFalse,
  );
  return habits.filter((_, i) => isListed[i]);
};

const habitOf = (rows: readonly EffectRow[], chain: Chain): Habit[] => {
  const of = (outcome: Outcome): EffectRow => rows.find((row) => row.outcome === outcome) as EffectRow;
  const [main, value] = [of('main_cut'), of('value')];
  if (main.status !== 'ok') return [];
  const sideOf: SideOf = (outcome) => {
    const { effect, chanceBeyond } = of(outcome);
    const isBeyond =
      Math.abs(effect) > chain.thresholds.effect_points && chanceBeyond >= chain.thresholds.chance;
    return isBeyond ? (effect < 0 ? -1 : 1) : 0;
  };
  const own = main.kind === 'store-item' ? roomRules : rules;
  const fitting = own.filter(({ outcome, side, isSo }) => sideOf(outcome) === side && isSo(of, sideOf));
  if (fitting.length === 0) return [];
  const sizeOf = ({ outcome }: Rule): number => Math.abs(of(outcome).effect);
  const rule = fitting.reduce((best, next) => (sizeOf(next) > sizeOf(best) ? next : best));
  return [{ kind: rule.kind, on: of(rule.outcome), value, all: rows }];
};

type Rule = {
  kind: FindingKindName;
  outcome: Outcome;
  side: 1 | -1;
  /** Whether the other outcomes show where the weight went (or came from). */
  isSo: (of: EffectOf, sideOf: SideOf) => boolean;
};

/** The side on which an outcome is surely beyond the threshold; 0 for none. */
type SideOf = (outcome: Outcome) => -1 | 0 | 1;
type EffectOf = (outcome: Outcome) => EffectRow;
const trimmed = (of: EffectOf): number => of('lean_trim').effect + of('fat').effect;
const elsewhere = (of: EffectOf): number => of('other_cut').effect + of('bone').effect + of('waste').effect;
/** More than half of what main cut lost lies in another class on the block, so that it is not missing. */
const isOnBlock = (of: EffectOf): boolean => trimmed(of) + elsewhere(of) > -of('main_cut').effect / 2;

/**
 * The kinds by what all classes show together; of those that fit, the one with the largest effect is told, the first among
 * equals: a small loss of main cut must not hide a tub that is filled from another. What is missing is the trim tub's where
 * more than half of it is missing from lean trim. Main cut that is low but not missing went to trim and fat, or elsewhere:
 * whichever took more. Trim and fat must give more than half of what main cut gained.
 */
const rules: readonly Rule[] = [
  {
    kind: 'unweighed-trim',
    outcome: 'unaccounted',
    side: 1,
    isSo: (of) => -of('lean_trim').effect > of('unaccounted').effect / 2,
  },
  { kind: 'missing-product', outcome: 'unaccounted', side: 1, isSo: () => true },
  {
    kind: 'tare-question',
    outcome: 'unaccounted',
    side: -1,
    // others who miss product make anyone seem to gain: outputs must weigh more than what came in
    isSo: (of) => of('unaccounted').rawMean < 0,
  },
  {
    kind: 'over-trimming',
    outcome: 'main_cut',
    side: -1,
    isSo: (of) => isOnBlock(of) && trimmed(of) >= elsewhere(of),
  },
  {
    kind: 'left-elsewhere',
    outcome: 'main_cut',
    side: -1,
    isSo: (of) => isOnBlock(of) && trimmed(of) < elsewhere(of),
  },
  {
    kind: 'under-trimming',
    outcome: 'main_cut',
    side: 1,
    isSo: (of) => trimmed(of) < -of('main_cut').effect / 2,
  },
  {
    kind: 'fat-in-trim',
    outcome: 'lean_trim',
    side: 1,
    isSo: (of) => -of('fat').effect > of('lean_trim').effect / 2,
  },
];

/** What a whole room is told: weight that is missing in a room is no knife's, whatever class it is missing from. */
const roomRules: readonly Rule[] = [
  { kind: 'loss-high', outcome: 'unaccounted', side: 1, isSo: () => true },
  {
    kind: 'room-habit',
    outcome: 'main_cut',
    side: -1,
    isSo: (of, sideOf) => isOnBlock(of) || sideOf('unaccounted') <= 0,
  },
];
