import { median } from 'simple-statistics';
import { groupedBy } from '../../tables/groupedBy.ts';
import { remembered } from '../../tables/remembered.ts';
import { fewestTests } from './boughtTests.ts';
import type { Judged } from './judgedTests.ts';

/** Days of the tests of others in a store, ascending, and what each lost, %. */
type OfOthers = { days: number[]; percents: number[] };

/**
 * What other suppliers' tests lose in the store of a test about its day, %: what a scale or a way of weighing does to all alike.
 * Median of the 8 tests last before it or of the next 8, whichever lost more, so that a scale that changed on a day is not held
 * against what came next. NaN where the store has fewer than 8. Suppliers in `without` are compared with nobody.
 */
export const besideStore = (
  judged: readonly Judged[],
  without: ReadonlySet<string> = new Set(),
): ((one: Judged) => number) => {
  let stores: ReadonlyMap<string, readonly Judged[]> | undefined;
  const othersIn = (store: string): readonly Judged[] => {
    // grouped when first asked for: mostly nobody is above the usual
    stores ??= groupedBy(
      judged.filter(({ test }) => test.supplier !== '' && !without.has(test.supplier)),
      ({ test }) => test.store,
    );
    return stores.get(store) ?? [];
  };
  const known = new Map<string, OfOthers>();
  const medianFrom = (percents: readonly number[], place: number): number => {
    const first = Math.max(0, Math.min(place, percents.length - fewestTests));
    return median(percents.slice(first, first + fewestTests));
  };
  return ({ test: { store, supplier, cutDay } }) => {
    const { days, percents } = remembered(known, JSON.stringify([store, supplier]), () =>
      inTime(othersIn(store).filter(({ test }) => test.supplier !== supplier)),
    );
    if (days.length < fewestTests) return Number.NaN;
    const place = placeOf(days, cutDay);
    return Math.max(medianFrom(percents, place - fewestTests), medianFrom(percents, place));
  };
};

const inTime = (own: readonly Judged[]): OfOthers => {
  const sorted = [...own].sort((a, b) => a.test.cutDay - b.test.cutDay);
  return { days: sorted.map(({ test }) => test.cutDay), percents: sorted.map(({ percent }) => percent) };
};

/** Number of days before the one given; days ascending. */
const placeOf = (days: readonly number[], day: number): number => {
  let [low, high] = [0, days.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((days[middle] as number) < day) low = middle + 1;
    else high = middle;
  }
  return low;
};
