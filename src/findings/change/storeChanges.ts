import { type Outcome, outcomes } from '../../catalog/outcomes.ts';
import { codesOf } from '../../tables/columns.ts';
import { beforeAfter, type Contrast } from './beforeAfter.ts';
import { changesInSeries, type SeriesChange } from './changesInSeries.ts';
import type { ChartLimits } from './chartLimits.ts';
import { priorOf, seriesOf } from './levelChanges.ts';
import { inOrderOfDay, type PeopleTests } from './peopleTests.ts';
import type { CutterSeries } from './pooledForecast.ts';

/** A change of a whole store from one day on: size by outcome in SDs of one test and in points (value: currency per kg). */
export type StoreChange = {
  store: number;
  day: number;
  knownDay: number;
  side: 1 | -1;
  cutters: number;
  shift: Record<Outcome, number>;
  size: Record<Outcome, { shift: number; sd: number }>;
  before: Int32Array;
  after: Int32Array;
};

/** What a store is watched by: its money, and what is lost on the block, which a scale moves far beyond its own spread. */
const watched = ['value', 'unaccounted'] as const satisfies readonly Outcome[];
/** Store-months per false alarm over a store's charts. */
const monthsPerAlarm = 1000;
/** z that the half of the room who changed least must show together, and their share of the whole room's change. */
const leastZ = 2;
const leastShare = 0.6;
const fewestTests = 2;
const fewestInRoom = 30;
const bound = 3;
const daysPerMonth = 30.44;

type Charted = { people: PeopleTests; left: Record<Outcome, Float64Array>; scale: Record<Outcome, number> };

/**
 * Changes that a whole store shows: every cutter against the own level before, all cutters of the store on one chart, and
 * only where the half of them who moved least moved as well. A scale, a lot or a new rule moves a room; one or two people
 * do not. Stores with one cutter have none: there the two cannot be told apart.
 */
export const storeChanges = (
  charted: Charted,
  limitsOf: (runLength: number) => ChartLimits,
): StoreChange[] => {
  const { people } = charted;
  const ofStore = inOrderOfDay(people.store.codes, people.store.levels.length, people.day);
  const cell = codesOf(people.tests.map((test) => `${test.cutter}\u0000${test.item}`)).codes;
  return ofStore.flatMap((all, store) => {
    const ways = watched.map((outcome) => {
      const places = all.filter((i) => (people.sd[outcome][i] as number) > 0);
      return { places, shared: sharedChanges(charted, { places, outcome, cell }, limitsOf) };
    });
    const { places, shared } = ways.reduce((best, own) =>
      largestZ(own.shared) > largestZ(best.shared) ? own : best,
    );
    return shared.map(({ change, cutters }) => told(charted, { store, places, change, cell, cutters }));
  });
};

/** The tests of one store by day, the outcome they are charted by, and the codes of cutter x item of all tests. */
type Room = { places: Int32Array; outcome: Outcome; cell: Int32Array };
type Shared = { change: SeriesChange; z: number; cutters: number };

const largestZ = (changes: readonly Shared[]): number =>
  changes.reduce((largest, { z }) => Math.max(largest, Math.abs(z)), 0);

/** Changes of one store in one outcome that its cutters share; none with few tests or one cutter. */
const sharedChanges = (
  charted: Charted,
  room: Room,
  limitsOf: (runLength: number) => ChartLimits,
): Shared[] => {
  const { people, left } = charted;
  const { places, outcome, cell } = room;
  if (places.length < fewestInRoom || new Set(places.map((i) => people.cutter.codes[i] as number)).size < 2)
    return [];
  const scale = charted.scale[outcome];
  const series = seriesOf(people, left, { places, outcome, group: cell });
  const days =
    (people.day[places[places.length - 1] as number] as number) - (people.day[places[0] as number] as number);
  const perMonth = places.length / Math.max(1, days / daysPerMonth);
  return changesInSeries(series, {
    prior: priorOf(series, scale),
    scale,
    bound,
    limits: limitsOf(watched.length * monthsPerAlarm * perMonth),
  }).flatMap((change): Shared[] => {
    const cutters = sharedBy(charted, room, change);
    return cutters === 0 ? [] : [{ change, z: change.contrast.z / scale, cutters }];
  });
};

/** How many cutters share a change; 0 when the half who moved least have not moved with the room. */
const sharedBy = (
  { people, left, scale }: Charted,
  { places, outcome, cell }: Room,
  change: SeriesChange,
): number => {
  const contrastOf = (keep: (cutter: number) => boolean): Contrast => {
    const own: number[] = [];
    let [at, end] = [0, 0];
    for (let p = change.from; p < change.end; p++) {
      const i = places[p] as number;
      if (!keep(people.cutter.codes[i] as number)) continue;
      own.push(i);
      end++;
      if (p < change.at) at++;
    }
    const series = seriesOf(people, left, { places: Int32Array.from(own), outcome, group: cell });
    return beforeAfter(bounded(series, at), series, { from: 0, at, to: end });
  };
  const cutters = [...new Set(places.map((i) => people.cutter.codes[i] as number))];
  const ofEach = cutters
    .map((cutter) => ({ cutter, own: contrastOf((code) => code === cutter) }))
    .filter(({ own }) => own.before >= fewestTests && own.after >= fewestTests)
    .sort((a, b) => change.side * (a.own.shift - b.own.shift));
  if (ofEach.length < 2) return 0;
  const least = new Set(ofEach.slice(0, Math.floor(ofEach.length / 2)).map(({ cutter }) => cutter));
  const rest = contrastOf((code) => least.has(code));
  const isShared =
    change.side * rest.z > leastZ * scale[outcome] &&
    change.side * rest.shift > leastShare * change.side * change.contrast.shift;
  return isShared ? ofEach.length : 0;
};

/** Values no farther than 4 SDs from the middle of their side of the change at `at`. */
const bounded = ({ left, sd }: CutterSeries, at: number): Float64Array => {
  const middle = (part: Float64Array): number => part.slice().sort()[part.length >> 1] ?? 0;
  const [before, after] = [middle(left.subarray(0, at)), middle(left.subarray(at))];
  return left.map((value, i) => {
    const reach = 4 * (sd[i] as number);
    const center = i < at ? before : after;
    return Math.min(center + reach, Math.max(center - reach, value));
  });
};

const told = (
  { people, left, scale }: Charted,
  {
    store,
    places,
    change,
    cell,
    cutters,
  }: { store: number; places: Int32Array; change: SeriesChange; cell: Int32Array; cutters: number },
): StoreChange => {
  const contrastOf = (outcome: Outcome): { contrast: Contrast; typical: number } => {
    const own = places.subarray(change.from, change.end);
    const series = seriesOf(people, left, { places: own, outcome, group: cell });
    const at = change.at - change.from;
    return {
      contrast: beforeAfter(bounded(series, at), series, { from: 0, at, to: own.length }),
      typical: series.sd.reduce((sum, value) => sum + value, 0) / own.length,
    };
  };
  const found = outcomes.map((outcome) => ({ outcome, ...contrastOf(outcome) }));
  const shiftOf = ({ contrast, typical }: { contrast: Contrast; typical: number }): number =>
    typical > 0 && Number.isFinite(contrast.shift) ? contrast.shift : 0;
  return {
    store,
    day: people.day[places[change.at] as number] as number,
    knownDay: places
      .subarray(0, change.alarmAt + 1)
      .reduce((latest, i) => Math.max(latest, people.seenDay[i] as number), Number.NEGATIVE_INFINITY),
    side: change.side,
    cutters,
    shift: Object.fromEntries(found.map((one) => [one.outcome, shiftOf(one)])) as StoreChange['shift'],
    size: Object.fromEntries(
      found.map((one) => [
        one.outcome,
        {
          shift: shiftOf(one) * one.typical,
          sd: one.typical > 0 ? one.contrast.sd * one.typical * scale[one.outcome] : 0,
        },
      ]),
    ) as StoreChange['size'],
    before: places.slice(change.from, change.at),
    after: places.slice(change.at, change.end),
  };
};

/** `left` without the stores' changes: what is left to people. */
export const withoutStoreChanges = (
  { people, left }: Pick<Charted, 'people' | 'left'>,
  changes: readonly StoreChange[],
): Record<Outcome, Float64Array> => {
  if (changes.length === 0) return left;
  return Object.fromEntries(
    outcomes.map((outcome) => {
      const values = Float64Array.from(left[outcome]);
      for (const change of changes)
        for (const [i, store] of people.store.codes.entries())
          if (store === change.store && (people.day[i] as number) >= change.day)
            values[i] = (values[i] as number) - change.shift[outcome] * (people.sd[outcome][i] as number);
      return [outcome, values];
    }),
  ) as Record<Outcome, Float64Array>;
};
