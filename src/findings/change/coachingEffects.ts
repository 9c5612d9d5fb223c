import type { Chain } from '../../catalog/chain.ts';
import type { Outcome } from '../../catalog/outcomes.ts';
import type { CoachingRow } from '../../normalize/normalized.ts';
import { normalCdf, normalQuantile, z975 } from '../../tables/normalDistribution.ts';
import { type CoachedTests, levelBefore, meansOnSameItems, type PriorsBefore } from './coachedLevels.ts';
import { habitBefore } from './habitBefore.ts';
import { chanceAbove, chanceBeyond, type LevelPosterior } from './levelPrior.ts';
import { varying } from './peopleTests.ts';
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
  /** More tests until a gain of 2 points would be told with 80 % chance, or until more of them would hardly tell more. */
  testsNeeded: number;
  /** No improvement is seen, but a gain of 2 points may be there, which no tests more are likely to show: too few were before. */
  hasFewBefore: boolean;
  /** Whether the habit coached on is gone, or only the average has moved; '' where none is named or was seen before. */
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
/** Once told, a coaching that worked is told as long as a gain is this likely. */
const heldFrom = 0.9;
/** Tests after from which a gain is told: every night is another look, and the first few make the luckiest. */
const fewestAfter = 5;
const gainToTell = 2;
/** Chance that a gain worth telling is told by tests enough. */
const power = 0.8;
/** Tests after that tell this many times what those before do are enough: the SD of the gain is within a quarter of its best. */
const enoughBeside = 2;
const mostDaysAfter = 365;
const wantedOfHabit = 0.7;

type Asked = { asOfDay: number; chain: Chain; isKnown: (place: number) => boolean };

/** Effects of all coaching up to asOfDay, in the order of the coaching file; the outcome that tells most for each. */
export const coachingEffects = (
  levels: TimeLevels,
  coaching: readonly CoachingRow[],
  { asOfDay, chain, isKnown }: Asked,
): CoachingEffect[] => {
  const priors: PriorsBefore = new Map();
  return coaching
    .filter((event) => event.coachedOn <= asOfDay)
    .flatMap((event) => {
      const until = nextEvent(event, coaching, asOfDay);
      const lookedAt = (isIn: Asked['isKnown']): Looked | undefined => {
        const tests = coachedTests(levels, event, { until, isKnown: isIn });
        return tests && looked(levels, tests, { chain, priors });
      };
      const now = lookedAt(isKnown);
      if (now === undefined) return [];
      const best = isHeld(now.best, levels, (night) =>
        lookedAt((place) => isKnown(place) && (levels.people.seenDay[place] as number) <= night),
      )
        ? { ...now.best, isImproved: true }
        : now.best;
      return [{ ...best, ...verdictOf(best, now.told), hadHabit: now.hadHabit, habit: now.habit }];
    });
};

/** What followed a coaching on all outcomes looked at, and the one that tells most. */
type Looked = { told: readonly [Told, ...Told[]]; best: Told } & Pick<CoachingEffect, 'hadHabit' | 'habit'>;

const looked = (
  levels: TimeLevels,
  tests: CoachedTests,
  { chain, priors }: { chain: Chain; priors: PriorsBefore },
): Looked => {
  const { event } = tests;
  const kind = event.habit === '' ? habitBefore(levels, tests, { chain, priors }) : event.habit;
  const signals = signalsOf(event, kind);
  const told = signals.map((signal) =>
    effectOn(levels, tests, {
      signal,
      threshold: chain.thresholds.effect_points,
      priors,
      looks: signals.length,
    }),
  ) as [Told, ...Told[]];
  const isHabit = habitOutcomes[kind] !== undefined || event.habit !== '';
  return {
    told,
    best: told.reduce((top, one) => (rank(one) > rank(top) ? one : top)),
    hadHabit: told.some((one) => one.hadHabit),
    habit: isHabit ? told[0].habit : '',
  };
};

/** Whether a coaching that was told to have worked is told so still: on no night since was the chance of a gain below 0.9. */
const isHeld = (
  best: Told,
  { people }: TimeLevels,
  lookedOn: (night: number) => Looked | undefined,
): boolean => {
  if (best.isImproved || best.chance < heldFrom) return false;
  const nights = [...new Set(Array.from(best.places, (place) => people.seenDay[place] as number))];
  for (const night of nights.sort((a, b) => b - a)) {
    const then = lookedOn(night)?.best;
    if (then?.isImproved === true) return true;
    if (!((then?.chance ?? 0) >= heldFrom)) return false;
  }
  return false;
};

/** What followed on one outcome, before the verdict over all looked at; `needed`: tests after that are enough. */
type Told = Omit<CoachingEffect, 'verdict' | 'testsNeeded' | 'hasFewBefore'> & {
  isImproved: boolean;
  needed: { toTell: number; enough: number };
};

/**
 * Improved on any outcome. Else too early while a gain of 2 points may still be there on one, and the tests after are too few
 * on the first, which the coaching was for.
 */
const verdictOf = (
  best: Told,
  told: readonly [Told, ...Told[]],
): Pick<CoachingEffect, 'verdict' | 'testsNeeded' | 'hasFewBefore'> => {
  const [{ testsAfter, needed }] = told;
  const isOpen = told.some(({ high }) => high >= gainToTell);
  const missing = isOpen ? Math.max(0, Math.min(needed.toTell, needed.enough) - testsAfter) : 0;
  const verdict = best.isImproved ? 'improved' : missing > 0 ? 'too-early' : 'not-improved';
  return {
    verdict,
    testsNeeded: verdict === 'too-early' ? missing : 0,
    hasFewBefore: verdict === 'not-improved' && isOpen && needed.toTell > testsAfter,
  };
};

/** Improved first, then the likelier; of two that improved the one named (it comes first). */
const rank = ({ isImproved, chance }: Told): number => (isImproved ? 2 : chance);

type Signal = { outcome: Outcome; better: 1 | -1 };

/** What the habit shows on and what sells; without a habit named also main cut, but where a habit seen is main cut that is too high. */
const signalsOf = ({ habit }: CoachingRow, kind: string): Signal[] => {
  const own = habitOutcomes[kind];
  if (own === undefined) return unnamed;
  const others = habit === '' ? unnamed : [overall];
  return [own, ...others.filter(({ outcome }) => outcome !== own.outcome)];
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

/** The tests that tell of a coaching; undefined for a cutter who has none at all. */
const coachedTests = (
  { people }: TimeLevels,
  event: CoachingRow,
  { until, isKnown }: { until: number; isKnown: (place: number) => boolean },
): CoachedTests | undefined => {
  const cutter = people.cutter.levels.indexOf(event.cutter);
  if (cutter < 0) return undefined;
  const inScope = (i: number): boolean =>
    isKnown(i) && (event.item === '' || people.item.levels[people.item.codes[i] as number] === event.item);
  const own = (people.ofCutter[cutter] as Int32Array).filter(inScope);
  const dayOf = (i: number): number => people.day[i] as number;
  return {
    event,
    inScope,
    before: own.filter((i) => dayOf(i) < event.coachedOn),
    after: own.filter((i) => dayOf(i) > event.coachedOn && dayOf(i) < until),
    last: own[own.length - 1],
  };
};

const effectOn = (
  levels: TimeLevels,
  tests: CoachedTests,
  context: { signal: Signal; threshold: number; priors: PriorsBefore; looks: number },
): Told => {
  const { people } = levels;
  const { signal, threshold, looks } = context;
  const { outcome, better } = signal;
  const worse = better > 0 ? -1 : 1;
  const [before, after] = [varying(people, tests.before, outcome), varying(people, tests.after, outcome)];
  const { raw, now } = meansOnSameItems(levels, outcome, { before, after });
  const level = levelBefore(levels, tests, { outcome, priors: context.priors, raw });
  const sd = Math.sqrt(level.sd ** 2 + now.variance);
  const gain = better * (now.mean - level.mean);
  const chance = after.length === 0 ? 0.5 : sided(chanceAbove(level, now, 0), better);
  const wanted = 1 - falseCalls / looks;
  return {
    event: tests.event,
    store: people.tests[tests.last ?? -1]?.store ?? '',
    outcome,
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
    isImproved: after.length >= fewestAfter && chance >= wanted && gain >= threshold,
    needed: testsNeeded(levels, { outcome, places: [...before, ...after], level, wanted }),
    habit: habitNow(now, { better, threshold }),
    hadHabit: before.length < fewestBefore || chanceBeyond(level, worse, threshold) > 1 - wantedOfHabit,
    places: after,
  };
};

const fewestBefore = 8;

const sided = (chance: number, better: 1 | -1): number => (better > 0 ? chance : 1 - chance);

/**
 * Tests after that are needed `toTell` a gain of 2 points with 80 % chance (Infinity where the tests before are too few for
 * ever), and from which more would hardly narrow the gain (`enough`).
 */
const testsNeeded = (
  { people, scale }: TimeLevels,
  about: { outcome: Outcome; places: readonly number[]; level: LevelPosterior; wanted: number },
): Told['needed'] => {
  const { outcome, places, level, wanted } = about;
  if (places.length === 0) return { toTell: mostTests, enough: mostTests };
  const variance =
    places.reduce((sum, i) => sum + (scale[outcome] * (people.sd[outcome][i] as number)) ** 2, 0) /
    places.length;
  const left = (gainToTell / (normalQuantile(wanted) + normalQuantile(power))) ** 2 - level.sd ** 2;
  return {
    toTell: left > 0 ? Math.max(fewestAfter, Math.ceil(variance / left)) : Number.POSITIVE_INFINITY,
    enough: Math.max(fewestAfter, Math.ceil((enoughBeside * variance) / level.sd ** 2)),
  };
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
