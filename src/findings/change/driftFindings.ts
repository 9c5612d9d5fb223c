import type { Chain } from '../../catalog/chain.ts';
import { classWords, type Outcome } from '../../catalog/outcomes.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import type { CoachingRow } from '../../normalize/normalized.ts';
import { benjaminiHochberg } from '../../tables/benjaminiHochberg.ts';
import { normalCdf, z975 } from '../../tables/normalDistribution.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { countedTests } from '../../units/counted.ts';
import { chainNumbers } from '../chainNumbers.ts';
import type { FindingRow, LossRow } from '../found.ts';
import { moneyOfOne } from '../lossRows.ts';
import { clearedBelow, resolvedDays } from '../memory/toldUntil.ts';
import type { WeeklyShare } from '../weeklyShares.ts';
import { type FindingFacts, noMoney, resolvedFinding, writtenFinding } from '../writtenFinding.ts';
import { driftLosses } from './driftLosses.ts';
import { learningDays } from './learningCurve.ts';
import { type LevelChange, leastP, levelChanges } from './levelChanges.ts';
import { presentLevels } from './presentLevel.ts';
import type { StoreChange } from './storeChanges.ts';
import type { TimeLevels } from './timeLevels.ts';

export type DriftContext = {
  chain: Chain;
  asOfDay: number;
  coaching: readonly CoachingRow[];
  cutterShares: ReadonlyMap<string, readonly WeeklyShare[]>;
  adjustedFor: readonly string[];
};

const mostFalse = 0.1;
/** A change up within this many days of a coaching is the coaching's to tell. */
const coachedDays = { before: 30, after: 90 };
/** A change is told for this long; then the new level is the cutter's own, and habits tell the rest. */
const toldDays = 365;
/** The size of a change is told on saleable unless the z of main cut is larger by this. */
const clearlyBetter = 1.5;

/**
 * Changes of every cutter's level (by code), of cutters at a false discovery rate of 10 % over all cutters charted.
 */
export const confirmedChanges = (levels: TimeLevels): LevelChange[][] => {
  const perCutter = levels.people.ofCutter.map((_, cutter) => levelChanges(cutter, levels, levels.limitsOf));
  const adjusted = benjaminiHochberg(perCutter.map(leastP));
  return perCutter.map((changes, cutter) => ((adjusted[cutter] as number) > mostFalse ? [] : changes));
};

/** A change told of a cutter since the night of `knownDay`: its finding without money, and what a fall that still holds costs by store and item. */
export type ToldDrift = { facts: FindingFacts; losses: LossRow[]; knownDay: number };

/**
 * A cutter's level that has changed and stayed, up or down: one a cutter (or cutter and item) for the latest change, dated,
 * with its size. What a beginner learns and what follows a coaching is told elsewhere.
 */
export const toldDrifts = (
  changes: readonly (readonly LevelChange[])[],
  levels: TimeLevels,
  context: DriftContext,
): ToldDrift[] => {
  const { cutter, store } = levels.people;
  const room = store.levels.map(() => new Set<number>());
  for (const [i, code] of store.codes.entries()) room[code]?.add(cutter.codes[i] as number);
  const alone = new Set(store.levels.filter((_, code) => (room[code]?.size ?? 0) < 2));
  const sizeOf = presentLevels(levels);
  return changes.flatMap((own) => cutterDrifts(own, levels, { ...context, alone, sizeOf }));
};

/**
 * The finding of a change. What a cutter costs stands in one finding: where a habit carries the money of a store and item
 * (`isCarried`), the fall does not, and says so.
 */
export const driftFinding = (
  { facts, losses }: ToldDrift,
  isCarried: (loss: LossRow) => boolean,
  chain: Chain,
): { finding: FindingRow; losses: LossRow[] } => {
  if (facts.status === 'resolved')
    return { finding: resolvedFinding(writtenFinding(facts, chain)), losses: [] };
  const own = losses.filter((loss) => !isCarried(loss));
  const costly = own.filter((loss) => loss.moneyPerWeek > 0);
  const note = own.length === losses.length ? {} : { note: carriedNote(costly.length > 0) };
  const money = costly.length === 0 ? noMoney : moneyOf(costly);
  return { finding: writtenFinding({ ...facts, money: { ...money, ...note } }, chain), losses: costly };
};

const carriedNote = (isPart: boolean): string =>
  isPart
    ? 'beside what the habit told of the same hands costs'
    : 'its cost stands with the habit told of the same hands';

const moneyOf = (losses: readonly LossRow[]): FindingFacts['money'] => {
  const { moneyPerWeek, moneyLow, moneyHigh } = moneyOfOne(losses);
  const isWeekly = losses.every((loss) => loss.ofTestsSeen !== true);
  return { perWeek: moneyPerWeek, low: moneyLow, high: moneyHigh, isWeekly };
};

/** `alone`: stores with one cutter. */
type Context = DriftContext & {
  alone: ReadonlySet<string>;
  sizeOf: ReturnType<typeof presentLevels>;
};

const cutterDrifts = (changes: readonly LevelChange[], levels: TimeLevels, context: Context): ToldDrift[] => {
  const items = [...new Set(changes.map((change) => change.item))];
  return items.flatMap((item) => {
    const own = changes.filter((change) => change.item === item);
    const latest = own[own.length - 1] as LevelChange;
    const earlier = own[own.length - 2];
    if (context.asOfDay - latest.day > toldDays) return [];
    const isBack = earlier !== undefined && isReversal(earlier, latest, context);
    if (isBack)
      return earlier.knownDay < latest.knownDay && context.asOfDay - latest.knownDay <= resolvedDays
        ? driftRow(earlier, levels, { ...context, status: 'resolved' })
        : [];
    if (latest.side > 0 && (isCoached(latest, levels, context) || isLearning(latest, levels))) return [];
    const told = toldOn(latest, levels, context);
    if (told === undefined) return [];
    return driftRow(knownOn(latest, levels, told.night), levels, { ...context, status: told.status });
  });
};

/**
 * A change is told from the chain's chance on and until the chance falls below 0.7, as habits are, night by night with the
 * tests known then; `resolved` for four weeks after the first night that no longer tells it, as it was told on the last.
 */
const toldOn = (
  change: LevelChange,
  levels: TimeLevels,
  context: Context,
): { status: FindingRow['status']; night: number } | undefined => {
  const { asOfDay, chain } = context;
  const seen = Array.from(change.after, (i) => levels.people.seenDay[i] as number);
  const nights = [...new Set(seen)].filter((night) => night >= change.knownDay && night < asOfDay);
  let isTold = false;
  const path = [...nights.sort((a, b) => a - b), asOfDay].map((night) => {
    const least = isTold ? clearedBelow : chain.thresholds.chance;
    isTold = toldSize(knownOn(change, levels, night), levels, { ...context, least }) !== undefined;
    return { night, isTold };
  });
  if (isTold) return { status: path.at(-2)?.isTold === true ? 'continuing' : 'new', night: asOfDay };
  const last = path.findLastIndex((one) => one.isTold);
  const cleared = path[last + 1]?.night as number;
  if (last < 0 || asOfDay - cleared > resolvedDays) return undefined;
  return { status: 'resolved', night: path[last]?.night as number };
};

/** The change with the tests alone that were known on a night. */
const knownOn = (change: LevelChange, { people }: TimeLevels, night: number): LevelChange => {
  const known = (places: Int32Array): Int32Array =>
    places.filter((i) => (people.seenDay[i] as number) <= night);
  return { ...change, before: known(change.before), after: known(change.after) };
};

/** The two changes cancel: the level is back within the threshold of where it was, or more than half the way. */
const isReversal = (earlier: LevelChange, latest: LevelChange, { chain }: DriftContext): boolean => {
  const outcome = toldOutcome(earlier);
  const { shift } = earlier.size[outcome];
  return (
    earlier.side !== latest.side &&
    Math.abs(shift + latest.size[outcome].shift) <
      Math.max(chain.thresholds.effect_points, Math.abs(shift) / 2)
  );
};

const isCoached = (change: LevelChange, { people }: TimeLevels, { coaching }: DriftContext): boolean =>
  coaching.some(
    (event) =>
      event.cutter === people.cutter.levels[change.cutter] &&
      change.day >= event.coachedOn - coachedDays.before &&
      change.day <= event.coachedOn + coachedDays.after,
  );

const isLearning = (change: LevelChange, { people, sinceOf }: TimeLevels): boolean =>
  change.day - sinceOf(people.cutter.levels[change.cutter] as string) < learningDays;

const driftRow = (
  change: LevelChange,
  levels: TimeLevels,
  context: Context & { status: FindingRow['status'] },
): ToldDrift[] => {
  const { people } = levels;
  const { chain, sizeOf } = context;
  const told =
    toldSize(change, levels, { ...context, least: chain.thresholds.chance }) ??
    toldSize(change, levels, { ...context, least: clearedBelow });
  const value = sizeOf(change, 'value');
  if (told === undefined || value === undefined) return [];
  const { outcome, shift, sd, chance } = told;
  const { losses, fall } =
    change.side < 0
      ? driftLosses(change, levels, value, context.cutterShares)
      : { losses: [], fall: Number.NaN };
  if (fall < chain.thresholds.money_per_week) return [];
  const after = testsAt(levels, change.after);
  const last = after[after.length - 1] as MeasuredTest;
  const isAlone = context.alone.has(last.store);
  const facts: FindingFacts = {
    kind: 'drift',
    store: last.store,
    region: last.region,
    cutter: last.cutter,
    item: change.item < 0 ? '' : (people.item.levels[change.item] as string),
    outcome,
    status: context.status,
    since: isoFromDay(change.day),
    effect: shift,
    low: shift - z975 * sd,
    high: shift + z975 * sd,
    chance,
    tests: after.length,
    comparedWith: `their own ${countedTests(change.before.length)} before, less what luck is likely to have had in them${isAlone ? '; alone in the store, so that cutter and room cannot be told apart' : ''}`,
    money: noMoney,
    size: `${words[outcome]} ${change.side < 0 ? 'fallen' : 'risen'} by ${points(chain).format(Math.abs(shift))} points since ${isoFromDay(change.day)}${alongside(change, outcome)}`,
    where: `${change.side < 0 ? 'fallen' : 'risen'} ${madeOf(change, outcome)}`.trim(),
    ...(change.side > 0 && madeOf(change, outcome) !== '' ? { went: madeOf(change, outcome) } : {}),
    evidence: after,
    adjustments: [
      ...context.adjustedFor,
      'what everybody did in the same months',
      'changes of the whole store',
      'regression to the mean',
    ],
  };
  return [{ facts, losses, knownDay: change.knownDay }];
};

/**
 * What most of a change is made of, where it is not the cuts: weight that is on the sheets no more or again, or trim
 * that was gained; '' where the cuts changed, for better or worse.
 */
const madeOf = ({ side, size }: LevelChange, outcome: ToldOutcome): string => {
  const half = (side * size[outcome].shift) / 2;
  if (-side * size.unaccounted.shift > half) return classWords.unaccounted;
  const cuts = size.main_cut.shift + size.other_cut.shift;
  return side > 0 && cuts < half ? classWords.lean_trim : '';
};

const alongside = (change: LevelChange, outcome: ToldOutcome): string => {
  const what = madeOf(change, outcome);
  if (what === classWords.unaccounted)
    return `, while ${change.side < 0 ? 'more' : 'less'} weight is unaccounted for`;
  return what === '' ? '' : ', most of it lean trim';
};

/** Outcomes on which the size of a change may be told. */
type ToldOutcome = keyof typeof words;
type ToldSize = { outcome: ToldOutcome; shift: number; sd: number; chance: number };

/**
 * Size of a change in points on the first outcome that is beyond the threshold at the chance asked for (`least`): the one
 * that shows it best, the other of saleable and main cut, and for a fall lean trim, which fat takes. Undefined where none is.
 */
const toldSize = (
  change: LevelChange,
  { people }: TimeLevels,
  { chain, sizeOf, least }: Context & { least: number },
): ToldSize | undefined => {
  const threshold = chain.thresholds.effect_points;
  const first = toldOutcome(change);
  const ways: ToldOutcome[] = [first, first === 'saleable' ? 'main_cut' : 'saleable'];
  if (change.side < 0) ways.push('lean_trim');
  return ways
    .flatMap((outcome): ToldSize[] => {
      const level = sizeOf(change, outcome);
      if (level === undefined) return [];
      const inPoints = typicalSd(people, change, outcome);
      const [shift, sd] = [level.fall.mean * inPoints, level.fall.sd * inPoints];
      return [{ outcome, shift, sd, chance: normalCdf((Math.abs(shift) - threshold) / sd) }];
    })
    .find(({ shift, chance }) => change.side * shift >= threshold && chance >= least);
};

/** Mean SD of one test of the tests around a change that the outcome varies in, in its unit. */
const typicalSd = (people: TimeLevels['people'], change: LevelChange, outcome: Outcome): number => {
  const sds = [...change.before, ...change.after].map((i) => people.sd[outcome][i] as number);
  const varying = sds.filter((sd) => sd > 0);
  return varying.reduce((sum, sd) => sum + sd, 0) / varying.length;
};

const points = (chain: Chain): Intl.NumberFormat => chainNumbers(chain).points;
const words = { saleable: 'saleable has', main_cut: 'main cut has', lean_trim: 'lean trim has' } as const;

const toldOutcome = ({ size }: LevelChange): 'saleable' | 'main_cut' => {
  const z = (outcome: 'saleable' | 'main_cut'): number =>
    size[outcome].sd > 0 ? Math.abs(size[outcome].shift) / size[outcome].sd : 0;
  return z('main_cut') > z('saleable') + clearlyBetter ? 'main_cut' : 'saleable';
};

const testsAt = ({ people }: TimeLevels, places: Int32Array): MeasuredTest[] =>
  Array.from(places, (i) => people.tests[i] as MeasuredTest);

/**
 * A store whose whole room changed on one day, as a question about the scale, a lot or a rule; nobody is named. Told on
 * saleable, or where that moved little on what is unaccounted for.
 */
export const storeChangeFindings = (levels: TimeLevels, context: DriftContext): FindingRow[] => {
  const { people } = levels;
  const latest = new Map<number, StoreChange>();
  for (const change of levels.stores) latest.set(change.store, change);
  return [...latest.values()].flatMap((change) => {
    const threshold = context.chain.thresholds.effect_points;
    const outcome = Math.abs(change.size.saleable.shift) < threshold ? 'unaccounted' : 'saleable';
    const { shift, sd } = change.size[outcome];
    if (context.asOfDay - change.day > toldDays || Math.abs(shift) < threshold) return [];
    const after = testsAt(levels, change.after);
    const facts: FindingFacts = {
      kind: 'scale-question',
      store: people.store.levels[change.store] as string,
      region: after[0]?.region ?? '',
      cutter: '',
      item: '',
      outcome,
      status: change.knownDay >= context.asOfDay ? 'new' : 'continuing',
      since: isoFromDay(change.day),
      effect: shift,
      low: shift - z975 * sd,
      high: shift + z975 * sd,
      chance: normalCdf((Math.abs(shift) - threshold) / sd),
      tests: after.length,
      comparedWith: `the same ${change.cutters} cutters before`,
      money: noMoney,
      size: `${outcome === 'saleable' ? 'saleable' : 'what is unaccounted for'} has ${shift < 0 ? 'fallen' : 'risen'} by ${points(context.chain).format(Math.abs(shift))} points for everybody since ${isoFromDay(change.day)}`,
      evidence: after,
      adjustments: [...context.adjustedFor, 'what everybody did in the same months'],
    };
    return [writtenFinding(facts, context.chain)];
  });
};
