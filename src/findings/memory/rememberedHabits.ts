import type { Chain } from '../../catalog/chain.ts';
import type { EffectRow } from '../../model/modeled.ts';
import { codesOf } from '../../tables/columns.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { inOrderOfDay, type PeopleTests } from '../change/peopleTests.ts';
import { type Habit, habitsOf } from '../cutterFindings.ts';
import type { FindingRow } from '../found.ts';
import {
  type EffectHistory,
  type EffectPriors,
  effectPriors,
  effectsAsTold,
  followedOutcomes,
  nothingTold,
  tell,
} from './effectPath.ts';

/** A habit with what was told of it before: status tonight, the day since which its tests show it, and from which day they count. */
export type RememberedHabit = {
  habit: Habit;
  status: FindingRow['status'];
  sinceDay: number;
  /** Tests before this day are of an earlier level (-Infinity: all count). */
  countsFrom: number;
};

/** A habit once told is told until the chance falls below this (raised at the chain's own chance). */
const clearedBelow = 0.7;
/** A resolved habit is told for this many days. */
const resolvedDays = 28;

export type MemoryInput = {
  effects: readonly EffectRow[];
  people: PeopleTests;
  /** What each test differs by its cutter's lasting level; columns as `people.left`. */
  lasting: PeopleTests['left'];
  chain: Chain;
  asOfDay: number;
  /** Day of the last confirmed change of level by `cutter` or `cutter NUL item`: only tests since then count. */
  changedOn: ReadonlyMap<string, number>;
};

/**
 * Habits with memory: raised at the chain's chance, cleared below 0.7, `new` on the night whose tests raise them, `resolved`
 * for four weeks after they are cleared. All of it follows from the tests, the days on which they were first seen and
 * tonight's model; nothing is stored between nights, so that a rerun says the same.
 */
export const rememberedHabits = (input: MemoryInput): RememberedHabit[] => {
  const { effects, chain } = input;
  const histories = historiesOf(input);
  const now = effects.flatMap((row): readonly EffectRow[] => {
    const history = histories.get(idOf(row));
    return history === undefined ? [row] : history.now.filter((own) => own.outcome === row.outcome);
  });
  const raised = new Map(habitsOf(now, chain).map((habit) => [idOf(habit.on), habit]));
  return [...histories].flatMap(([id, history]): RememberedHabit[] => {
    const found = raised.get(id);
    return found === undefined && !mayHaveBeenTold(history, input) ? [] : remembered(found, history, input);
  });
};

/** One id's habit tonight against what was told before: raised, held, or gone. */
const remembered = (found: Habit | undefined, history: History, input: MemoryInput): RememberedHabit[] => {
  const { people, asOfDay } = input;
  const isKnown = (place: number): boolean => (people.seenDay[place] as number) < asOfDay;
  const before = followed(history, input, isKnown);
  const path = followed(history, input, () => true);
  const { countsFrom } = history;
  const habit = found ?? (before.habit === undefined ? undefined : heldNow(before.habit, history.now));
  if (habit !== undefined) {
    const sinceDay = path.habit === undefined ? dayOfLast(history, people) : path.sinceDay;
    // without a new test there is no news, however near to the line the path before came
    const isNew = before.habit === undefined && !history.places.every(isKnown);
    return [{ habit, status: isNew ? 'new' : 'continuing', sinceDay, countsFrom }];
  }
  const isRecent =
    before.habit !== undefined || (before.last !== undefined && asOfDay - before.clearedDay <= resolvedDays);
  return before.last !== undefined && isRecent
    ? [{ habit: before.last, status: 'resolved', sinceDay: before.sinceDay, countsFrom }]
    : [];
};

const idOf = (row: EffectRow): string => `${row.kind}\u0000${row.id}\u0000${row.item}`;

type History = EffectHistory & {
  /** Effects tonight, by the tests since the last change of level. */
  now: readonly EffectRow[];
  /** All tests of the id, by day. */
  places: Int32Array;
  countsFrom: number;
  priors: EffectPriors;
};

/** Rows and tests of every cutter x item and store x item. */
const historiesOf = (input: MemoryInput): Map<string, History> => {
  const { people, chain, changedOn } = input;
  const threshold = chain.thresholds.effect_points;
  const placesOf = testPlaces(people);
  const open = new Map<string, EffectHistory & { places: Int32Array }>();
  for (const [id, rows] of rowsById(input.effects)) {
    const places = placesOf.get(id);
    if (places === undefined) continue;
    const whole = nothingTold();
    for (const place of places) tell(whole, people, place);
    open.set(id, { rows, whole, places });
  }
  const priors = priorsByItem([...open.values()]);
  return new Map(
    [...open].map(([id, history]): [string, History] => {
      const first = history.rows[0] as EffectRow;
      const own = priors.get(itemOf(first)) as EffectPriors;
      const countsFrom = lastChange(first, changedOn);
      const judgedBy = judgedTests(first, input);
      if (countsFrom === Number.NEGATIVE_INFINITY && isAsLeft(history.places, judgedBy, people))
        return [id, { ...history, now: history.rows, countsFrom, priors: own }];
      const since = nothingTold();
      for (const place of history.places)
        if ((people.day[place] as number) >= countsFrom) tell(since, judgedBy, place);
      return [
        id,
        {
          ...history,
          now: effectsAsTold(history, since, { priors: own, threshold }),
          countsFrom,
          priors: own,
        },
      ];
    }),
  );
};

/** People are judged by their lasting level; a room by all that is left. */
const judgedTests = (
  { kind }: EffectRow,
  { people, lasting }: MemoryInput,
): Pick<PeopleTests, 'sd' | 'left'> => (kind === 'cutter-item' ? { sd: people.sd, left: lasting } : people);

const isAsLeft = (places: Int32Array, { left }: Pick<PeopleTests, 'left'>, people: PeopleTests): boolean =>
  followedOutcomes.every(
    (outcome) =>
      left[outcome] === people.left[outcome] ||
      places.every((place) => left[outcome][place] === people.left[outcome][place]),
  );

const itemOf = ({ kind, item }: EffectRow): string => `${kind}\u0000${item}`;

const rowsById = (effects: readonly EffectRow[]): Map<string, EffectRow[]> =>
  groupedBy(
    effects.filter((row) => row.kind === 'cutter-item' || row.kind === 'store-item'),
    idOf,
  );

/** Places of the tests of every cutter x item and store x item by day. */
const testPlaces = (people: PeopleTests): Map<string, Int32Array> => {
  const placesOf = new Map<string, Int32Array>();
  for (const kind of ['cutter', 'store'] as const) {
    const keys = people.tests.map((test) => `${kind}-item\u0000${test[kind]}\u0000${test.item}`);
    const { codes, levels } = codesOf(keys);
    for (const [code, places] of inOrderOfDay(codes, levels.length, people.day).entries())
      placesOf.set(levels[code] as string, places);
  }
  return placesOf;
};

const priorsByItem = (histories: readonly EffectHistory[]): Map<string, EffectPriors> => {
  const groups = groupedBy(histories, (history) => itemOf(history.rows[0] as EffectRow));
  return new Map([...groups].map(([key, own]) => [key, effectPriors(own)]));
};

/** Day of the last change of level of a cutter on an item (the later of the item's and the cutter's own); -Infinity for none, and for rooms. */
const lastChange = ({ kind, id, item }: EffectRow, changedOn: ReadonlyMap<string, number>): number => {
  if (kind !== 'cutter-item') return Number.NEGATIVE_INFINITY;
  const of = (key: string): number => changedOn.get(key) ?? Number.NEGATIVE_INFINITY;
  return Math.max(of(id), of(`${id}\u0000${item}`));
};

/**
 * Whether any class was ever so far off, as the tests came, that it may have been told: the raw mean is beyond the threshold
 * by half of the SDs that the chance asks for. Quick, as it is asked of everybody; only then is there a past to follow.
 */
const mayHaveBeenTold = (history: History, input: MemoryInput): boolean => {
  const judgedBy = judgedTests(history.rows[0] as EffectRow, input);
  const { chain } = input;
  const { effect_points: threshold } = chain.thresholds;
  const own = history.rows[0]?.kind === 'store-item' ? history.rows : [];
  const effect = followedOutcomes.map((outcome) => own.find((row) => row.outcome === outcome)?.effect ?? 0);
  const told = nothingTold();
  for (const place of history.places) {
    tell(told, judgedBy, place);
    if (told.tests < fewestTests) continue;
    for (const [k, outcome] of followedOutcomes.entries()) {
      const weight = told.weight[k] as number;
      const mean = (effect[k] as number) + (told.sum[k] as number) / weight;
      if (outcome !== 'value' && weight > 0 && Math.abs(mean) - threshold > clearlyOff / Math.sqrt(weight))
        return true;
    }
  }
  return false;
};
const fewestTests = 3;
const clearlyOff = 0.64;

/** What is told after some tests: the habit now, the last one told with the day since when, and the day it was last cleared. */
type Followed = { habit: Habit | undefined; last: Habit | undefined; sinceDay: number; clearedDay: number };
const nothingYet: Followed = {
  habit: undefined,
  last: undefined,
  sinceDay: Number.NaN,
  clearedDay: Number.NEGATIVE_INFINITY,
};

/** The habit as it was told test by test: raised, held, cleared; a new level starts anew. */
const followed = (history: History, input: MemoryInput, isKnown: (place: number) => boolean): Followed => {
  const { people, chain } = input;
  const judgedBy = judgedTests(history.rows[0] as EffectRow, input);
  const { priors, countsFrom } = history;
  const threshold = chain.thresholds.effect_points;
  let told = nothingTold();
  let state = nothingYet;
  let isNewLevel = false;
  for (const place of history.places.filter(isKnown)) {
    const day = people.day[place] as number;
    if (!isNewLevel && day >= countsFrom) {
      told = nothingTold();
      isNewLevel = true;
    }
    tell(told, judgedBy, place);
    state = afterTest(state, effectsAsTold(history, told, { priors, threshold }), { chain, day });
  }
  return state;
};

const afterTest = (
  state: Followed,
  known: readonly EffectRow[],
  { chain, day }: { chain: Chain; day: number },
): Followed => {
  const held = state.habit === undefined ? undefined : heldNow(state.habit, known);
  const habit = held ?? habitsOf(known, chain)[0];
  if (habit === undefined) return state.habit === undefined ? state : { ...state, habit, clearedDay: day };
  return { ...state, habit, last: habit, sinceDay: state.habit === undefined ? day : state.sinceDay };
};

/** The same habit on later effects, as long as its outcome lies on the same side with a chance of 0.7 or more. */
const heldNow = (habit: Habit, rows: readonly EffectRow[]): Habit | undefined => {
  const on = rows.find((row) => row.outcome === habit.on.outcome);
  const value = rows.find((row) => row.outcome === 'value');
  const isHeld =
    on !== undefined &&
    value !== undefined &&
    on.status === 'ok' &&
    Math.sign(on.effect) === Math.sign(habit.on.effect) &&
    on.chanceBeyond >= clearedBelow;
  return isHeld ? { kind: habit.kind, on, value, all: rows } : undefined;
};

const dayOfLast = (history: History, people: PeopleTests): number =>
  people.day[history.places[history.places.length - 1] as number] as number;
