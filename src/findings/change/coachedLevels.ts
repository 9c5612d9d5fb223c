import type { Outcome } from '../../catalog/outcomes.ts';
import type { CoachingRow } from '../../normalize/normalized.ts';
import { type LevelPosterior, type LevelPrior, levelPosterior, levelPrior } from './levelPrior.ts';
import { varying } from './peopleTests.ts';
import type { TimeLevels } from './timeLevels.ts';

/** The tests that tell of one coaching: places of the coached cutter's before and after, the last of all, and which of anybody are of its items. */
export type CoachedTests = {
  event: CoachingRow;
  inScope: (place: number) => boolean;
  before: Int32Array;
  after: Int32Array;
  last: number | undefined;
};
/** Priors of levels by outcome, item and day, as far as they are fitted. */
export type PriorsBefore = Map<string, LevelPrior>;

/** A mean and its variance, in the outcome's unit; no test: variance Infinity. */
export type Mean = { mean: number; variance: number };

const bound = 2.5;
const fewestTests = 3;

/** Level of a cutter before a coaching: the raw mean of the tests, shrunken by what everybody's were until then. */
export const levelBefore = (
  levels: TimeLevels,
  tests: CoachedTests,
  { outcome, priors, raw }: { outcome: Outcome; priors: PriorsBefore; raw: Mean },
): LevelPosterior => {
  const key = `${outcome}\u0000${tests.event.item}\u0000${tests.event.coachedOn}`;
  const prior = priors.get(key) ?? priorBefore(levels, tests, outcome);
  priors.set(key, prior);
  return levelPosterior(raw.mean, raw.variance, prior);
};

/** Prior of levels on the same items from everybody's tests before the coaching. */
const priorBefore = (levels: TimeLevels, { event, inScope }: CoachedTests, outcome: Outcome): LevelPrior => {
  const { people } = levels;
  const means = people.ofCutter.flatMap((places) => {
    const own = varying(people, places, outcome).filter(
      (i) => (people.day[i] as number) < event.coachedOn && inScope(i),
    );
    return own.length < fewestTests ? [] : [meanOf(levels, outcome, own)];
  });
  return levelPrior(
    means.map(({ mean }) => mean),
    means.map(({ variance }) => variance),
  );
};

/** Mean of what is left in some tests, and its variance; tests beyond 2.5 SDs of the middle count as at 2.5. No test: variance Infinity. */
export const meanOf = ({ people, left, scale }: TimeLevels, outcome: Outcome, places: Int32Array): Mean => {
  if (places.length === 0) return { mean: 0, variance: Number.POSITIVE_INFINITY };
  const values = Float64Array.from(places, (i) => left[outcome][i] as number);
  const middle = Float64Array.from(values).sort()[values.length >> 1] as number;
  let [weight, sum] = [0, 0];
  for (const [k, i] of places.entries()) {
    const sd = scale[outcome] * (people.sd[outcome][i] as number);
    const reach = bound * sd;
    weight += 1 / sd ** 2;
    sum += Math.min(middle + reach, Math.max(middle - reach, values[k] as number)) / sd ** 2;
  }
  return { mean: sum / weight, variance: 1 / weight };
};

/**
 * Means of the tests before and after on the same items, items weighted by what they tell of the change: a habit on one item
 * is not gone because the item is cut less. Of all tests where no item is on both sides.
 */
export const meansOnSameItems = (
  levels: TimeLevels,
  outcome: Outcome,
  { before, after }: { before: Int32Array; after: Int32Array },
): { raw: Mean; now: Mean } => {
  const { codes } = levels.people.item;
  const shared = [...new Set(before.map((i) => codes[i] as number))].flatMap((item) => {
    const on = (places: Int32Array): Mean =>
      meanOf(
        levels,
        outcome,
        places.filter((i) => codes[i] === item),
      );
    const [raw, now] = [on(before), on(after)];
    return Number.isFinite(now.variance) ? [{ raw, now, weight: 1 / (raw.variance + now.variance) }] : [];
  });
  if (shared.length === 0)
    return { raw: meanOf(levels, outcome, before), now: meanOf(levels, outcome, after) };
  const total = shared.reduce((sum, { weight }) => sum + weight, 0);
  const weighted = (side: 'raw' | 'now'): Mean => ({
    mean: shared.reduce((sum, own) => sum + own.weight * own[side].mean, 0) / total,
    variance: shared.reduce((sum, own) => sum + own.weight ** 2 * own[side].variance, 0) / total ** 2,
  });
  return { raw: weighted('raw'), now: weighted('now') };
};
