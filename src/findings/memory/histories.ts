import type { EffectRow } from '../../model/modeled.ts';
import { codesOf } from '../../tables/columns.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { inOrderOfDay, type PeopleTests } from '../change/peopleTests.ts';
import {
  type EffectHistory,
  type EffectPriors,
  effectPriors,
  effectsAsTold,
  followedOutcomes,
  nothingTold,
  type Told,
  tell,
} from './effectPath.ts';

/** A new level of a cutter: tests from `day` on are of it, since the night of `knownDay` all of it is known. */
export type LevelStart = { day: number; knownDay: number };

/** One id's effects and tests with what is known of its levels. */
export type History = EffectHistory & {
  /** All tests of the id, by day. */
  places: Int32Array;
  starts: readonly LevelStart[];
  priors: EffectPriors;
  /** What its tests tell is read from these: people are judged by their lasting level, a room by all that is left. */
  judgedBy: Pick<PeopleTests, 'sd' | 'left'>;
  /** The tests tell what the model's effects are made of: with all of them told, tonight's effects hold as they are. */
  isAsLeft: boolean;
};

/** `kind NUL id NUL item` of an effect. */
export const idOf = ({ kind, id, item }: Pick<EffectRow, 'kind' | 'id' | 'item'>): string =>
  `${kind}\u0000${id}\u0000${item}`;

/** Histories of every cutter and store, on each item and on all together, by `idOf`. */
export const historiesOf = ({
  effects,
  people,
  lasting,
  changedOn,
}: {
  effects: readonly EffectRow[];
  people: PeopleTests;
  lasting: PeopleTests['left'];
  changedOn: ReadonlyMap<string, readonly LevelStart[]>;
}): Map<string, History> => {
  const placesOf = testPlaces(people);
  const open = new Map<string, EffectHistory & { places: Int32Array }>();
  const rowsById = groupedBy(
    effects.filter(({ kind }) => kind !== 'supplier'),
    idOf,
  );
  for (const [id, rows] of rowsById) {
    const places = placesOf.get(id);
    if (places === undefined) continue;
    const whole = nothingTold();
    for (const place of places) tell(whole, people, place);
    open.set(id, { rows, whole, places });
  }
  const groups = groupedBy([...open.values()], (history) => groupOf(history.rows[0] as EffectRow));
  const priors = new Map([...groups].map(([key, own]) => [key, effectPriors(own)]));
  return new Map(
    [...open].map(([id, history]): [string, History] => {
      const first = history.rows[0] as EffectRow;
      const isPerson = first.kind === 'cutter-item' || first.kind === 'cutter';
      const left = isPerson ? lasting : people.left;
      return [
        id,
        {
          ...history,
          priors: priors.get(groupOf(first)) as EffectPriors,
          starts: isPerson ? startsOf(first, changedOn) : [],
          judgedBy: { sd: people.sd, left },
          isAsLeft: isAsLeft(history.places, left, people.left),
        },
      ];
    }),
  );
};

const groupOf = ({ kind, item }: EffectRow): string => `${kind}\u0000${item}`;

const isAsLeft = (places: Int32Array, judged: PeopleTests['left'], left: PeopleTests['left']): boolean =>
  followedOutcomes.every(
    (outcome) =>
      judged[outcome] === left[outcome] ||
      places.every((place) => judged[outcome][place] === left[outcome][place]),
  );

/** Places of the tests of every cutter and store, on each item and on all, by day. */
const testPlaces = (people: PeopleTests): Map<string, Int32Array> => {
  const placesOf = new Map<string, Int32Array>();
  for (const kind of ['cutter', 'store'] as const)
    for (const [suffix, itemOf] of [
      ['-item', (test: PeopleTests['tests'][number]) => test.item],
      ['', () => ''],
    ] as const) {
      const keys = people.tests.map((test) => `${kind}${suffix}\u0000${test[kind]}\u0000${itemOf(test)}`);
      const { codes, levels } = codesOf(keys);
      for (const [code, places] of inOrderOfDay(codes, levels.length, people.day).entries())
        placesOf.set(levels[code] as string, places);
    }
  return placesOf;
};

/** Levels of a cutter on an item: the item's own and those of all items. */
const startsOf = (
  { kind, id, item }: EffectRow,
  changedOn: ReadonlyMap<string, readonly LevelStart[]>,
): readonly LevelStart[] => {
  const own = kind === 'cutter-item' ? (changedOn.get(`${id}\u0000${item}`) ?? []) : [];
  return [...(changedOn.get(id) ?? []), ...own];
};

/** Day since which tests are of the level that was the present one on a night; -Infinity: all are. */
export const levelOn = ({ starts }: History, night: number): number =>
  starts.reduce(
    (latest, { day, knownDay }) => (knownDay <= night ? Math.max(latest, day) : latest),
    Number.NEGATIVE_INFINITY,
  );

/** The effects of one id with what some of its tests told. */
export const effectsWith = (history: History, told: Told, threshold: number): EffectRow[] =>
  history.isAsLeft && told.tests === history.whole.tests
    ? [...history.rows]
    : effectsAsTold(history, told, { priors: history.priors, threshold });

/** The effects of one id as they were on a night: by the tests known then, of the level of then. */
export const effectsOn = (
  history: History,
  people: PeopleTests,
  { night, threshold }: { night: number; threshold: number },
): EffectRow[] => {
  const from = levelOn(history, night);
  const told = nothingTold();
  for (const place of history.places)
    if ((people.seenDay[place] as number) <= night && (people.day[place] as number) >= from)
      tell(told, history.judgedBy, place);
  return effectsWith(history, told, threshold);
};
