import { type Outcome, outcomes } from '../../catalog/outcomes.ts';
import { beforeAfter, type Contrast } from './beforeAfter.ts';
import { changesInSeries, fewest, type SeriesChange } from './changesInSeries.ts';
import type { ChartLimits } from './chartLimits.ts';
import { errorScale } from './errorScale.ts';
import { type PeopleTests, varying } from './peopleTests.ts';
import { type CutterSeries, pooledForecast } from './pooledForecast.ts';
import { scanChance } from './scanChance.ts';

/**
 * Outcomes whose charts watch a cutter, all items on one line and each item. Main cut that goes to lean trim moves what
 * sells by nothing, money by little, and main cut by less of its own spread than trim of its; so does trim that goes to fat.
 */
const watched = ['value', 'saleable', 'main_cut', 'lean_trim'] as const satisfies readonly Outcome[];
/** Cutter-months per false alarm over all charts of a cutter: the bar is 300, the rest is room for tests that are not independent. */
const monthsPerAlarm = 450;
/** Share of a cutter's alarms that each outcome's pair may give; an item's pair sees only the item's tests, so all items share one. */
const budget = { pooled: 0.8 / watched.length, items: 0.2 / watched.length };
/** An EWMA and a CUSUM on the same values give about this many times the alarms of one of them. */
const pairFactor = 1.5;
const daysPerMonth = 30.44;
/** A level before the first test may lie this many SDs of one test from expected: charts start themselves on any habit. */
const openPrior = 2;
const bound = 3;
const fewestTests = 8;
/** Of a cutter's changes those are kept that luck alone gives one cutter in ten, so that a level that comes back is heard. */
const mostByLuck = 0.1;

/** One confirmed change of a cutter's level: on all items (item -1) or on one. Places are of PeopleTests. */
export type LevelChange = {
  cutter: number;
  item: number;
  day: number;
  alarmDay: number;
  /** Day on which the test that gave the alarm was known. */
  knownDay: number;
  /** 1: better, -1: worse, by what sells and main cut. */
  side: 1 | -1;
  /** P-value of before against after at the best of all dates, for all that was looked at in this cutter. */
  pValue: number;
  /** Size in points (value: currency per kg) with its SD, by outcome. */
  size: Record<Outcome, { shift: number; sd: number }>;
  before: Int32Array;
  after: Int32Array;
};

export type ChartedPeople = {
  people: PeopleTests;
  left: Record<Outcome, Float64Array>;
  scale: Record<Outcome, number>;
};

/** Scales of the forecast errors of the chain's cutters by outcome: what one test varies by in truth against the model's SD. */
export const chartScales = (
  people: PeopleTests,
  left: Record<Outcome, Float64Array>,
): Record<Outcome, number> =>
  Object.fromEntries(
    outcomes.map((outcome) => {
      const errors = people.ofCutter.flatMap((all) => {
        const places = varying(people, all, outcome);
        if (places.length < fewestTests) return [];
        const series = seriesOf(people, left, { places, outcome });
        const prior = priorOf(series, 1);
        return [...pooledForecast(series, prior, { scale: 1, bound: 1e6 }).errors.subarray(4)];
      });
      return [outcome, errorScale(errors, bound)];
    }),
  ) as Record<Outcome, number>;

/** Series of some tests of one cutter (or room) with small codes of `group` (the item unless given). */
export const seriesOf = (
  people: PeopleTests,
  left: Record<Outcome, Float64Array>,
  { places, outcome, group }: { places: Int32Array; outcome: Outcome; group?: Int32Array },
): CutterSeries => {
  const small = new Map<number, number>();
  const codes = group ?? people.item.codes;
  const item = places.map((i) => {
    const code = codes[i] as number;
    const known = small.get(code) ?? small.size;
    small.set(code, known);
    return known;
  });
  const pick = (values: Float64Array): Float64Array => Float64Array.from(places, (i) => values[i] as number);
  return { left: pick(left[outcome]), sd: pick(people.sd[outcome]), item, items: small.size };
};

export const priorOf = ({ sd }: CutterSeries, scale: number): { all: number; item: number } => {
  const typical =
    scale * Math.sqrt(sd.reduce((sum, value) => sum + value * value, 0) / Math.max(1, sd.length));
  return { all: openPrior * typical, item: openPrior * typical };
};

/** Changes of one cutter's level that luck seldom makes, earliest first; a change of one item only carries the item. */
export const levelChanges = (
  cutter: number,
  { people, left, scale }: ChartedPeople,
  limitsOf: (runLength: number) => ChartLimits,
): LevelChange[] => {
  const all = people.ofCutter[cutter] as Int32Array;
  if (all.length < fewestTests) return [];
  const items = [...new Set(all.map((i) => people.item.codes[i] as number))];
  const perMonth = testsPerMonth(people, all);
  const limits = (share: number): ChartLimits =>
    limitsOf((pairFactor * monthsPerAlarm * perMonth) / (2 * share));
  const changesOf = (own: Int32Array, item: number, outcome: Outcome): Found[] => {
    const places = varying(people, own, outcome);
    const looks = item < 0 ? 1 / budget.pooled : items.length / budget.items;
    const series = seriesOf(people, left, { places, outcome });
    const pValueOf = ({ z, before, after }: Contrast): number =>
      Math.min(1, looks * scanChance(z / scale[outcome], before + after, fewest));
    return changesInSeries(series, {
      prior: priorOf(series, scale[outcome]),
      scale: scale[outcome],
      bound,
      limits: limits(1 / looks),
      clear: { pValueOf, most: mostByLuck },
    }).map((change) => ({ cutter, item, own: places, change, pValue: pValueOf(change.contrast) }));
  };
  const found = likeliest(
    watched.flatMap((outcome) => [
      changesOf(all, -1, outcome),
      items.flatMap((item) =>
        changesOf(
          all.filter((i) => people.item.codes[i] === item),
          item,
          outcome,
        ),
      ),
    ]),
  );
  return found.map((change) => told({ people, left, scale }, change));
};

/** A change of a series of one cutter's tests (`own`), before it is told. */
type Found = Pick<LevelChange, 'cutter' | 'item' | 'pValue'> & { own: Int32Array; change: SeriesChange };

/** One cutter's changes seen the way that is least likely by luck: on all items by one outcome or another, or item by item. */
const likeliest = (ways: readonly Found[][]): Found[] =>
  ways.reduce((best, own) => (leastP(own) < leastP(best) ? own : best));

/** 1 where there is no change. */
export const leastP = (changes: readonly Pick<LevelChange, 'pValue'>[]): number =>
  changes.reduce((least, { pValue }) => Math.min(least, pValue), 1);

const testsPerMonth = (people: PeopleTests, places: Int32Array): number => {
  const first = people.day[places[0] as number] as number;
  const last = people.day[places[places.length - 1] as number] as number;
  return places.length / Math.max(1, (last - first) / daysPerMonth);
};

const told = (
  { people, left, scale }: ChartedPeople,
  { cutter, item, own, change, pValue }: Found,
): LevelChange => {
  const alarm = own[change.alarmAt] as number;
  const [before, after] = [own.slice(change.from, change.at), own.slice(change.at, change.end)];
  const sizeOf = (outcome: Outcome): { shift: number; sd: number } => {
    const at = varying(people, before, outcome).length;
    const places = varying(people, own.subarray(change.from, change.end), outcome);
    const series = seriesOf(people, left, { places, outcome });
    const contrast = beforeAfter(series.left, series, { from: 0, at, to: places.length });
    return inPoints(contrast, series, scale[outcome]);
  };
  const size = Object.fromEntries(
    outcomes.map((outcome) => [outcome, sizeOf(outcome)]),
  ) as LevelChange['size'];
  return {
    cutter,
    item,
    day: people.day[own[change.at] as number] as number,
    alarmDay: people.day[alarm] as number,
    knownDay: own
      .subarray(0, change.alarmAt + 1)
      .reduce((latest, i) => Math.max(latest, people.seenDay[i] as number), Number.NEGATIVE_INFINITY),
    side: sideOf(size),
    pValue,
    size,
    before,
    after,
  };
};

/** The side of what sells or of main cut, whichever shows the change better: trim is more where main cut goes to it, less where fat takes it. */
const sideOf = ({ saleable, main_cut: main }: LevelChange['size']): 1 | -1 => {
  const [sold, cut] = [saleable, main].map(({ shift, sd }) => (sd > 0 ? shift / sd : 0)) as [number, number];
  return (Math.abs(cut) > Math.abs(sold) ? cut : sold) < 0 ? -1 : 1;
};

/** A contrast in SDs of one test, as points by the typical SD of its tests; 0 where an outcome never varies. */
const inPoints = (contrast: Contrast, { sd }: CutterSeries, scale: number): { shift: number; sd: number } => {
  const typical = sd.reduce((sum, value) => sum + value, 0) / sd.length;
  return typical > 0 && Number.isFinite(contrast.shift)
    ? { shift: contrast.shift * typical, sd: contrast.sd * typical * scale }
    : { shift: 0, sd: 0 };
};
