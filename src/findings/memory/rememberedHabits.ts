import type { Chain } from '../../catalog/chain.ts';
import type { EffectRow } from '../../model/modeled.ts';
import type { PeopleTests } from '../change/peopleTests.ts';
import { type Habit, habitsOf } from '../cutterFindings.ts';
import type { FindingRow } from '../found.ts';
import { type HabitGroup, habitGroups } from './habitGroups.ts';
import { heldNow, mayHaveBeenTold, type NightHabit, nightlyHabits, shownSince } from './habitPath.ts';
import { effectsOn, type History, historiesOf, idOf, type LevelStart, levelOn } from './histories.ts';
import { resolvedDays } from './toldUntil.ts';

/** A habit on one item: the day since which its tests show it, and from which day they count (-Infinity: all). */
export type DatedHabit = { habit: Habit; sinceDay: number; countsFrom: number };
/** A habit on the items that show it with what was told of it before; `whole` where it is one habit on several items. */
export type RememberedHabit = {
  parts: readonly DatedHabit[];
  whole: Habit | undefined;
  status: FindingRow['status'];
};

export type MemoryInput = {
  effects: readonly EffectRow[];
  people: PeopleTests;
  /** What each test differs by its cutter's lasting level; columns as `people.left`. */
  lasting: PeopleTests['left'];
  chain: Chain;
  asOfDay: number;
  /** Levels of a cutter by `cutter` or `cutter NUL item`: only tests since the last one count. */
  changedOn: ReadonlyMap<string, readonly LevelStart[]>;
  /** Whether a habit costs enough to be told. */
  isWorthTelling: (habit: Habit) => boolean;
  /** Whether a habit on one item was told by itself on a night, or left to a change of the cutter's level. */
  isToldAlone: (habit: Habit, night: number) => boolean;
};

/**
 * Habits with memory: raised at the chain's chance, cleared below 0.7. The rules that tell tonight are run on what was known
 * on each night before: `continuing` is what was told on the last of them, `new` what was not, `resolved` for four weeks
 * what was told on one and is no more. All of it follows from the tests, the nights on which they were first seen and
 * tonight's model; nothing is stored between nights, so that a rerun says the same.
 */
export const rememberedHabits = (input: MemoryInput): RememberedHabit[] => {
  const { people, chain, asOfDay } = input;
  const histories = historiesOf(input);
  const historyOf = ({ on }: Habit): History => histories.get(idOf(on)) as History;
  const threshold = chain.thresholds.effect_points;
  const tonight = new Map(
    [...histories].map(([id, history]) => [id, effectsOn(history, people, { night: asOfDay, threshold })]),
  );
  const raised = new Map(
    habitsOf([...tonight.values()].flat(), chain).map((habit) => [idOf(habit.on), habit]),
  );
  const paths = pathsOf(histories, raised, input);
  const groupsOn = (night: number, habits: readonly Habit[]): HabitGroup[] =>
    toldOf(habits, input, {
      night,
      pooledOf: (on) => {
        const whole = histories.get(
          idOf({ kind: on.kind === 'store-item' ? 'store' : 'cutter', id: on.id, item: '' }),
        );
        return whole === undefined ? [] : effectsOn(whole, people, { night, threshold });
      },
    });
  const now = [...paths].flatMap(([id, path]): Habit[] => {
    const before = path.at(-1)?.habit;
    const habit = raised.get(id) ?? (before && heldNow(before, tonight.get(id) ?? []));
    return habit === undefined ? [] : [habit];
  });
  const told = groupsOn(asOfDay, now);
  const before = toldBefore([...paths.values()], groupsOn, { people, asOfDay });
  const dated = (habit: Habit, night: number): DatedHabit => ({
    habit,
    sinceDay: shownSince(historyOf(habit), input, night),
    countsFrom: levelOn(historyOf(habit), night),
  });
  const lasting = new Set(told.flatMap(({ habits }) => habits.map(nameOf)));
  return [
    ...told.map(
      ({ habits, whole }): RememberedHabit => ({
        parts: habits.map((habit) => dated(habit, asOfDay)),
        whole,
        status: habits.some((habit) => before.last.has(cellOf(habit))) ? 'continuing' : 'new',
      }),
    ),
    ...[...before.recent.values()]
      // on fewer items than before it is the same habit still
      .filter(({ habit }) => !lasting.has(nameOf(habit)))
      .map(
        ({ habit, night }): RememberedHabit => ({
          parts: [dated(habit, night)],
          whole: undefined,
          status: 'resolved',
        }),
      ),
  ];
};

const nameOf = ({ kind, on }: Habit): string => `${kind}\u0000${on.kind}\u0000${on.id}`;
const cellOf = ({ kind, on }: Habit): string => `${kind}\u0000${idOf(on)}`;

/** Habits after each night of every cutter x item and store x item that tells one tonight, or may have before. */
const pathsOf = (
  histories: ReadonlyMap<string, History>,
  raised: ReadonlyMap<string, Habit>,
  input: MemoryInput,
): Map<string, readonly NightHabit[]> =>
  new Map(
    [...histories]
      .filter(([, { rows }]) => rows[0]?.item !== '')
      .filter(([id, history]) => raised.has(id) || mayHaveBeenTold(history, input))
      .map(([id, history]) => [id, nightlyHabits(history, input, input.asOfDay)]),
  );

/** What is told of some habits on a night. */
const toldOf = (
  habits: readonly Habit[],
  { chain, isWorthTelling, isToldAlone }: MemoryInput,
  { night, pooledOf }: { night: number; pooledOf: (on: EffectRow) => readonly EffectRow[] },
): HabitGroup[] =>
  habitGroups(habits.filter(isWorthTelling), pooledOf, chain).filter(
    ({ habits, whole }) => whole !== undefined || habits.every((habit) => isToldAlone(habit, night)),
  );

/** Cells told on the last night before tonight, and those told on a night whose next one is of the last four weeks, as told last. */
const toldBefore = (
  paths: readonly (readonly NightHabit[])[],
  groupsOn: (night: number, habits: readonly Habit[]) => HabitGroup[],
  { people, asOfDay }: Pick<MemoryInput, 'people' | 'asOfDay'>,
): { last: ReadonlySet<string>; recent: ReadonlyMap<string, { habit: Habit; night: number }> } => {
  const all = [...new Set(people.seenDay)].filter((night) => night < asOfDay).sort((a, b) => a - b);
  const first = all.findIndex((night) => asOfDay - night <= resolvedDays);
  const nights = first < 0 ? all.slice(-1) : all.slice(Math.max(0, first - 1));
  const recent = new Map<string, { habit: Habit; night: number }>();
  let last = new Set<string>();
  for (const night of nights) {
    const habits = paths.flatMap((path) => path.findLast((one) => one.night <= night)?.habit ?? []);
    const told = groupsOn(night, habits).flatMap((group) => group.habits);
    for (const habit of told) recent.set(cellOf(habit), { habit, night });
    last = new Set(told.map(cellOf));
  }
  return { last, recent };
};
