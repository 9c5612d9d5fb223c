import type { Chain } from '../../catalog/chain.ts';
import type { EffectRow } from '../../model/modeled.ts';
import type { PeopleTests } from '../change/peopleTests.ts';
import { type Habit, habitsOf } from '../cutterFindings.ts';
import { followedOutcomes, nothingTold, tell } from './effectPath.ts';
import { effectsWith, type History, levelOn } from './histories.ts';
import { clearedBelow } from './toldUntil.ts';

export type PathInput = { people: PeopleTests; chain: Chain };
/** The habit that held after a night (undefined: none). */
export type NightHabit = { night: number; habit: Habit | undefined };

/** The habit of one id after each night before `asOfDay` that brought it tests or a new level: raised, held, cleared. */
export const nightlyHabits = (
  history: History,
  { people, chain }: PathInput,
  asOfDay: number,
): NightHabit[] => {
  const places = [...history.places].sort(
    (a, b) => (people.seenDay[a] as number) - (people.seenDay[b] as number),
  );
  const nights = [
    ...new Set([
      ...places.map((place) => people.seenDay[place] as number),
      ...history.starts.map(({ knownDay }) => knownDay),
    ]),
  ]
    .filter((night) => night < asOfDay && night > Number.NEGATIVE_INFINITY)
    .sort((a, b) => a - b);
  const found: NightHabit[] = [];
  let told = nothingTold();
  let next = 0;
  let from = Number.NEGATIVE_INFINITY;
  let habit: Habit | undefined;
  for (const night of nights) {
    const level = levelOn(history, night);
    if (level !== from) [told, next, from] = [nothingTold(), 0, level];
    for (; next < places.length && (people.seenDay[places[next] as number] as number) <= night; next++) {
      const place = places[next] as number;
      if ((people.day[place] as number) >= from) tell(told, history.judgedBy, place);
    }
    const rows = effectsWith(history, told, chain.thresholds.effect_points);
    habit = (habit === undefined ? undefined : heldNow(habit, rows)) ?? habitsOf(rows, chain)[0];
    found.push({ night, habit });
  }
  return found;
};

/** Day of the test since which the tests known on a night show a habit; that of the last test where one by one they did not. */
export const shownSince = (history: History, { people, chain }: PathInput, night: number): number => {
  const from = levelOn(history, night);
  const threshold = chain.thresholds.effect_points;
  const told = nothingTold();
  let habit: Habit | undefined;
  let [since, last] = [Number.NaN, Number.NaN];
  for (const place of history.places) {
    const day = people.day[place] as number;
    if ((people.seenDay[place] as number) > night || day < from) continue;
    tell(told, history.judgedBy, place);
    last = day;
    const rows = effectsWith(history, told, threshold);
    const held = habit === undefined ? undefined : heldNow(habit, rows);
    const now = held ?? habitsOf(rows, chain)[0];
    if (now !== undefined && habit === undefined) since = day;
    habit = now;
  }
  return habit === undefined ? last : since;
};

/** The same habit on later effects, as long as its outcome lies on the same side with a chance of 0.7 or more. */
export const heldNow = (habit: Habit, rows: readonly EffectRow[]): Habit | undefined => {
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

/**
 * Whether any class was ever so far off, as the tests came, that it may have been told: the raw mean is beyond the threshold
 * by half of the SDs that the chance asks for, or the level changed. Quick, as it is asked of everybody.
 */
export const mayHaveBeenTold = (history: History, { chain }: Pick<PathInput, 'chain'>): boolean => {
  if (history.starts.length > 0) return true;
  const { effect_points: threshold } = chain.thresholds;
  const own = history.rows[0]?.kind === 'store-item' ? history.rows : [];
  const effect = followedOutcomes.map((outcome) => own.find((row) => row.outcome === outcome)?.effect ?? 0);
  const told = nothingTold();
  for (const place of history.places) {
    tell(told, history.judgedBy, place);
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
