import { type Outcome, outcomes } from '../../catalog/outcomes.ts';
import { middleNearestZero } from '../../tables/middleNearestZero.ts';
import { type LearningCurve, withoutLearning } from './learningCurve.ts';
import type { PeopleTests } from './peopleTests.ts';
import { type StoreChange, withoutStoreChanges } from './storeChanges.ts';

/**
 * What each test differs from expected by its cutter's lasting level: without what the chain's beginners learn and without
 * what a whole store changed by on one day. The model's store effect is the mean over both sides of such a change, so what
 * the people of the store are then left with in common is taken out as well. Same units as `people.left`, of which it is
 * the very columns where nothing is taken out.
 */
export const lastingLeft = (
  people: PeopleTests,
  about: {
    learning: LearningCurve | undefined;
    stores: readonly StoreChange[];
    sinceOf: (cutter: string) => number;
  },
): Record<Outcome, Float64Array> => {
  const { learning: curve, stores, sinceOf } = about;
  const left = withoutStoreChanges(
    { people, left: withoutLearning(people, people.left, { curve, sinceOf }) },
    stores,
  );
  const changed = new Set(stores.map(({ store }) => store));
  for (const store of changed)
    for (const places of placesByItem(people, store))
      for (const outcome of outcomes) {
        const shared = sharedLevel(people, left[outcome], places);
        for (const i of places) left[outcome][i] = (left[outcome][i] as number) - shared;
      }
  return left;
};

const placesByItem = ({ store, item }: PeopleTests, of: number): number[][] => {
  const places = item.levels.map((): number[] => []);
  for (const [i, code] of store.codes.entries()) if (code === of) places[item.codes[i] as number]?.push(i);
  return places.filter((own) => own.length > 0);
};

/** What the means of a store's cutters have in common: the middle one nearest to 0. */
const sharedLevel = ({ cutter }: PeopleTests, values: Float64Array, places: readonly number[]): number => {
  const sums = new Map<number, { n: number; sum: number }>();
  for (const i of places) {
    const code = cutter.codes[i] as number;
    const { n, sum } = sums.get(code) ?? { n: 0, sum: 0 };
    sums.set(code, { n: n + 1, sum: sum + (values[i] as number) });
  }
  return middleNearestZero(Array.from(sums.values(), ({ n, sum }) => sum / n));
};
