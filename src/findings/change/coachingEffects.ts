import type { Outcome } from '../../catalog/outcomes.ts';
import type { CoachingRow } from '../../normalize/normalized.ts';
import { normalCdf, z975 } from '../../tables/normalDistribution.ts';
import {
  chanceAbove,
  type LevelPosterior,
  type LevelPrior,
  levelPosterior,
  levelPrior,
} from './levelPrior.ts';
import type { TimeLevels } from './timeLevels.ts';

export type CoachingVerdict = 'improved' | 'not-improved' | 'too-early';

/**
 * What followed one coaching, on one outcome; levels and gains in points, gain > 0 is better. `expectedAfter` is what the
 * tests after would show had nothing changed: the shrunken level before. It differs from `rawBefore` by regression to the
 * mean, as people are coached at their worst.
 */
export type CoachingEffect = {
  event: CoachingRow;
  store: string;
  outcome: Outcome;
  testsBefore: number;
  testsAfter: number;
  rawBefore: number;
  expectedAfter: number;
  after: number;
  gain: number;
  sd: number;
  low: number;
  high: number;
  /** Chance that the level is better than before. */
  chance: number;
  verdict: CoachingVerdict;
  /** More tests until a gain of 2 points would be told with 80 % chance. */
  testsNeeded: number;
  /** Whether the habit coached on is gone, or only the average has moved; '' where no habit is named. */
  habit: 'cured' | 'not-cured' | 'unclear' | '';
  /** Whether the level before was likely off by more than the threshold in an outcome looked at; true where too few tests tell. */
  hadHabit: boolean;
  /** Places of the tests after. */
  places: Int32Array;
};

/** Outcome that a habit shows on, and the side of it that is better. */
const habitOutcomes: Record<string, { outcome: Outcome; better: 1 | -1 }> = {
  'over-trimming': { outcome: 'main_cut', better: 1 },
  'left-elsewhere': { outcome: 'main_cut', better: 1 },
  'room-habit': { outcome: 'main_cut', better: 1 },
  'under-trimming': { outcome: 'main_cut', better: -1 },
  'fat-in-trim': { outcome: 'lean_trim', better: -1 },
  'missing-product': { outcome: 'unaccounted', better: -1 },
  'unweighed-trim': { outcome: 'unaccounted', better: -1 },
  'tare-question': { outcome: 'unaccounted', better: 1 },
};
const overall = { outcome: 'saleable' as const, better: 1 as const };
/** Looked at where no habit is named: main cut moves to trim and back without moving what sells. */
const unnamed = [overall, { outcome: 'main_cut' as const, better: 1 as const }];

/** False calls of "improved" allowed for an event without effect, over the outcomes looked at. */
const falseCalls = 0.025;
const gainToTell = 2;
/** z of 80 % power. */
const power = 0.8416;
const mostDaysAfter = 365;
const bound = 2.5;
const wantedOfHabit = 0.7;

/** Effects of all coaching up to asOfDay, in the order of the coaching file; the outcome that tells most for each. */
export const coachingEffects = (
  levels: TimeLevels,
  coaching: readonly CoachingRow[],
  {
    asOfDay,
    threshold,
    isKnown,
  }: { asOfDay: number; threshold: number; isKnown: (place: number) => boolean },
): CoachingEffect[] => {
  const priors = new Map<string, LevelPrior>();
  return coaching
    .filter((event) => event.coachedOn <= asOfDay)
    .flatMap((event) => {
      const signals = signalsOf(event);
      const told = signals.flatMap((signal) =>
        effectOn(levels, event, {
          signal,
          until: nextEvent(event, coaching, asOfDay),
          threshold,
          isKnown,
          priors,
          looks: signals.length,
        }),
      );
      const best = told.reduce<CoachingEffect | undefined>(
        (top, one) => (top === undefined || rank(one) > rank(top) ? one : top),
        undefined,
      );
      const named = told[0];
      const hadHabit = told.some((one) => one.hadHabit);
      return best === undefined
        ? []
        : [{ ...best, hadHabit, habit: event.habit === '' ? '' : (named?.habit ?? '') }];
    });
};

/** Improved first, then the likelier; of two that improved the one named (it comes first). */
const rank = ({ verdict, chance }: CoachingEffect): number => (verdict === 'improved' ? 2 : chance);

type Signal = { outcome: Outcome; better: 1 | -1 };

const signalsOf = (event: CoachingRow): Signal[] => {
  const named = habitOutcomes[event.habit];
  return named === undefined ? unnamed : [named, overall];
};

/** Day before which tests count for this coaching: the next one of the same cutter on the same items, a year, or asOfDay. */
const nextEvent = (event: CoachingRow, coaching: readonly CoachingRow[], asOfDay: number): number =>
  coaching
    .filter(
      (other) =>
        other.cutter === event.cutter &&
        other.coachedOn > event.coachedOn &&
        (other.item === '' || event.item === '' || other.item === event.item),
    )
    .reduce(
      (least, other) => Math.min(least, other.coachedOn),
      Math.min(event.coachedOn + mostDaysAfter, asOfDay + 1),
    );

const effectOn = (
  levels: TimeLevels,
  event: CoachingRow,
  context: {
    signal: Signal;
    until: number;
    threshold: number;
    isKnown: (place: number) => boolean;
    priors: Map<string, LevelPrior>;
    looks: number;
  },
): CoachingEffect[] => {
  const { people } = levels;
  const { signal, until, threshold, looks } = context;
  const cutter = people.cutter.levels.indexOf(event.cutter);
  if (cutter < 0) return [];
  const scope = (people.ofCutter[cutter] as Int32Array).filter(
    (i) =>
      inScope(levels, i, event.item) && context.isKnown(i) && (people.sd[signal.outcome][i] as number) > 0,
  );
  const dayOf = (i: number): number => people.day[i] as number;
  const before = scope.filter((i) => dayOf(i) < event.coachedOn);
  const after = scope.filter((i) => dayOf(i) > event.coachedOn && dayOf(i) < until);
  const prior = priorBefore(levels, event, context);
  const raw = meanOf(levels, signal.outcome, before);
  const level = levelPosterior(raw.mean, raw.variance, prior);
  const now = meanOf(levels, signal.outcome, after);
  const { better } = signal;
  const sd = Math.sqrt(level.sd ** 2 + now.variance);
  const gain = better * (now.mean - level.mean);
  const chance = after.length === 0 ? 0.5 : sided(chanceAbove(level, now, 0), better);
  const wanted = 1 - falseCalls / looks;
  const needed = testsNeeded(levels, { outcome: signal.outcome, scope, level, wanted });
  const isImproved = chance >= wanted && gain >= threshold;
  const verdict = isImproved ? 'improved' : after.length < needed ? 'too-early' : 'not-improved';
  return [
    {
      event,
      store: people.tests[scope[scope.length - 1] as number]?.store ?? '',
      outcome: signal.outcome,
      testsBefore: before.length,
      testsAfter: after.length,
      rawBefore: before.length > 0 ? raw.mean : Number.NaN,
      expectedAfter: level.mean,
      after: after.length > 0 ? now.mean : Number.NaN,
      gain,
      sd,
      low: gain - z975 * sd,
      high: gain + z975 * sd,
      chance,
      verdict,
      testsNeeded: verdict === 'too-early' ? needed - after.length : 0,
      habit: habitNow(now, { better, threshold }),
      hadHabit: before.length < fewestBefore || beyond(level, { better, threshold }) > 1 - wantedOfHabit,
      places: after,
    },
  ];
};

/** Chance that a level lies beyond the threshold on the side of the habit. */
const beyond = (
  { parts }: LevelPosterior,
  { better, threshold }: { better: 1 | -1; threshold: number },
): number =>
  parts.reduce((sum, part) => sum + part.share * normalCdf((-threshold - better * part.mean) / part.sd), 0);
const fewestBefore = 8;

const sided = (chance: number, better: 1 | -1): number => (better > 0 ? chance : 1 - chance);

const inScope = ({ people }: TimeLevels, i: number, item: string): boolean =>
  item === '' || people.item.levels[people.item.codes[i] as number] === item;

/** Prior of levels on the same items from everybody's tests before the coaching; remembered by what it depends on. */
const priorBefore = (
  levels: TimeLevels,
  { coachedOn, item }: CoachingRow,
  {
    signal,
    priors,
    isKnown,
  }: { signal: Signal; priors: Map<string, LevelPrior>; isKnown: (place: number) => boolean },
): LevelPrior => {
  const key = `${signal.outcome}\u0000${item}\u0000${coachedOn}`;
  const known = priors.get(key);
  if (known !== undefined) return known;
  const { people } = levels;
  const sd = people.sd[signal.outcome];
  const means = people.ofCutter.flatMap((places) => {
    const own = places.filter(
      (i) =>
        (people.day[i] as number) < coachedOn &&
        inScope(levels, i, item) &&
        isKnown(i) &&
        (sd[i] as number) > 0,
    );
    return own.length < 3 ? [] : [meanOf(levels, signal.outcome, own)];
  });
  const prior = levelPrior(
    means.map(({ mean }) => mean),
    means.map(({ variance }) => variance),
  );
  priors.set(key, prior);
  return prior;
};

/** Mean of what is left in some tests, and its variance; tests beyond 2.5 SDs of the middle count as at 2.5. No test: variance Infinity. */
const meanOf = (
  { people, left, scale }: TimeLevels,
  outcome: Outcome,
  places: Int32Array,
): { mean: number; variance: number } => {
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

/** Tests after that are needed to tell a gain of 2 points with 80 % chance; Infinity where tests before are too few for ever. */
const testsNeeded = (
  { people, scale }: TimeLevels,
  {
    outcome,
    scope,
    level,
    wanted,
  }: { outcome: Outcome; scope: Int32Array; level: LevelPosterior; wanted: number },
): number => {
  const variance =
    scope.reduce((sum, i) => sum + (scale[outcome] * (people.sd[outcome][i] as number)) ** 2, 0) /
    scope.length;
  if (!Number.isFinite(variance)) return mostTests;
  let z = 0;
  while (normalCdf(z) < wanted) z += 0.01;
  const left = (gainToTell / (z + power)) ** 2 - level.sd ** 2;
  return left > 0 ? Math.ceil(variance / left) : mostTests;
};
const mostTests = 40;

/** Whether the tests after, alone, lie within the threshold on the side of the habit. */
const habitNow = (
  now: { mean: number; variance: number },
  { better, threshold }: { better: 1 | -1; threshold: number },
): CoachingEffect['habit'] => {
  if (!Number.isFinite(now.variance)) return 'unclear';
  const gone = normalCdf((better * now.mean + threshold) / Math.sqrt(now.variance));
  if (gone >= wantedOfHabit) return 'cured';
  return gone <= 1 - wantedOfHabit ? 'not-cured' : 'unclear';
};
