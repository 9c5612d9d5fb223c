import type { ColumnTable } from 'arquero';
import { type Outcome, outcomes } from '../../catalog/outcomes.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import { codesOf, numbersOf, textsOf } from '../../tables/columns.ts';

/**
 * The used tests as columns, in order of store and test, for everything that follows people over time. `left` is what a
 * test differs from expected after its store's effect, `sd` the SD of one test; points (value: currency per kg).
 */
export type PeopleTests = {
  tests: readonly MeasuredTest[];
  day: Float64Array;
  /** Day on which the test was first known to the chain; its cutting day where that is not known. */
  seenDay: Float64Array;
  cutter: { codes: Int32Array; levels: string[] };
  store: { codes: Int32Array; levels: string[] };
  item: { codes: Int32Array; levels: string[] };
  left: Record<Outcome, Float64Array>;
  sd: Record<Outcome, Float64Array>;
  /** Places of each cutter's tests by day, then store and test; by code of the cutter. */
  ofCutter: readonly Int32Array[];
};

/** Columns from the used tests and the model's table of the same tests; throws when the two do not match row by row. */
export const peopleTests = (
  used: readonly MeasuredTest[],
  expected: ColumnTable,
  seenDayOf: (test: MeasuredTest) => number,
): PeopleTests => {
  const ids = textsOf(expected, 'testId');
  if (ids.length !== used.length || used.some((test, i) => test.testId !== ids[i]))
    throw new Error(`peopleTests: ${used.length} used tests, ${ids.length} expectations, or another order`);
  const byOutcome = (make: (outcome: Outcome, unit: number) => Float64Array): Record<Outcome, Float64Array> =>
    Object.fromEntries(
      outcomes.map((outcome) => [outcome, make(outcome, outcome === 'value' ? 1 : 100)]),
    ) as Record<Outcome, Float64Array>;
  const coded = (pick: (test: MeasuredTest) => string) => codesOf(used.map(pick));
  const day = Float64Array.from(used, (test) => test.cutDay);
  const cutter = coded((test) => test.cutter);
  return {
    tests: used,
    day,
    seenDay: Float64Array.from(used, (test) => {
      const seen = seenDayOf(test);
      return Number.isNaN(seen) ? test.cutDay : Math.max(seen, test.cutDay);
    }),
    cutter,
    store: coded((test) => test.store),
    item: coded((test) => test.item),
    left: byOutcome((outcome, unit) => {
      const store = numbersOf(expected, `store_${outcome}`);
      return numbersOf(expected, `residual_${outcome}`).map(
        (value, i) => unit * (value - (store[i] as number)),
      );
    }),
    sd: byOutcome((outcome, unit) => numbersOf(expected, `sd_${outcome}`).map((value) => unit * value)),
    ofCutter: inOrderOfDay(cutter.codes, cutter.levels.length, day),
  };
};

/** Places of each level in order of day; among equals in the order given. */
export const inOrderOfDay = (codes: Int32Array, levels: number, day: Float64Array): Int32Array[] => {
  const counts = new Int32Array(levels);
  for (const code of codes) counts[code] = (counts[code] as number) + 1;
  const places = Array.from(counts, (count) => new Int32Array(count));
  const filled = new Int32Array(levels);
  for (const [i, code] of codes.entries()) {
    const next = filled[code] as number;
    (places[code] as Int32Array)[next] = i;
    filled[code] = next + 1;
  }
  return places.map((own) => own.sort((a, b) => (day[a] as number) - (day[b] as number) || a - b));
};

/** Those of some tests in which an outcome varies at all: items that give no lean trim say nothing of it. */
export const varying = (people: PeopleTests, places: Int32Array, outcome: Outcome): Int32Array =>
  places.filter((i) => (people.sd[outcome][i] as number) > 0);
