import { groupedBy } from '../../tables/groupedBy.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { countedTests } from '../../units/counted.ts';
import { type Followed, partNames, type SplitTest } from './valueParts.ts';

/**
 * What one part added to the change of an item's figure per billed kg since the quarter before: value in currency, saleable
 * as a fraction; part `total` is the whole change, to which the others add. moneyPerWeek: value change x weekly volume.
 */
export type QuarterChangeRow = {
  item: string;
  followed: Followed;
  part: string;
  before: number;
  after: number;
  change: number;
  low: number;
  high: number;
  moneyPerWeek: number;
  testsBefore: number;
  testsAfter: number;
  missing: string;
};

const quarterDays = 91;
const fewestTests = 8;

/** `unsplit`: of every item that was tested, why none of its tests could be split, should that be so. */
type ChangeSetting = {
  asOfDay: number;
  volumeOf: (item: string) => number;
  unsplit?: ReadonlyMap<string, string>;
};

/** Change of each item between the last 91 days and the 91 before, by part; stores are clusters for the intervals. */
export const quarterChange = (
  split: readonly SplitTest[],
  followed: Followed,
  { asOfDay, volumeOf, unsplit = new Map() }: ChangeSetting,
): QuarterChangeRow[] => {
  const byItem = groupedBy(split, (one) => one.test.item);
  return [...new Set([...byItem.keys(), ...unsplit.keys()])].sort().flatMap((item) => {
    const own = byItem.get(item);
    if (own === undefined)
      return [
        { item, followed, testsBefore: 0, testsAfter: 0, ...nothing, missing: unsplit.get(item) ?? '' },
      ];
    const age = (one: SplitTest): number => asOfDay - one.test.cutDay;
    const now = own.filter((one) => age(one) >= 0 && age(one) < quarterDays);
    const past = own.filter((one) => age(one) >= quarterDays && age(one) < 2 * quarterDays);
    const about = { item, followed, testsBefore: past.length, testsAfter: now.length };
    if (Math.min(now.length, past.length) < fewestTests)
      return [
        {
          ...about,
          ...nothing,
          missing: `${countedTests(past.length)} in the quarter before and ${now.length} in this; ${fewestTests} are needed in each`,
        },
      ];
    const row = (part: string, value: (one: SplitTest) => number): QuarterChangeRow => {
      const found = change(past, now, value);
      const moneyPerWeek = followed === 'value' ? found.change * volumeOf(item) : Number.NaN;
      return { ...about, part, ...found, moneyPerWeek, missing: '' };
    };
    return [
      row('total', (one) => one.total),
      ...partNames.map((name) => row(name, (one) => one.parts[name])),
    ];
  });
};

const nothing = {
  part: 'total',
  before: Number.NaN,
  after: Number.NaN,
  change: Number.NaN,
  low: Number.NaN,
  high: Number.NaN,
  moneyPerWeek: Number.NaN,
};

/** Difference of two means by billed weight, with an interval that allows tests of a store to move together. */
const change = (
  past: readonly SplitTest[],
  now: readonly SplitTest[],
  value: (one: SplitTest) => number,
): Pick<QuarterChangeRow, 'before' | 'after' | 'change' | 'low' | 'high'> => {
  const influence = new Map<string, number>();
  const meanOf = (own: readonly SplitTest[], sign: number): number => {
    const billed = own.reduce((sum, one) => sum + one.test.billedFilledKg, 0);
    const mean = own.reduce((sum, one) => sum + one.test.billedFilledKg * value(one), 0) / billed;
    for (const one of own) {
      const off = (sign * one.test.billedFilledKg * (value(one) - mean)) / billed;
      influence.set(one.test.store, (influence.get(one.test.store) ?? 0) + off);
    }
    return mean;
  };
  const [before, after] = [meanOf(past, -1), meanOf(now, 1)];
  const stores = influence.size;
  const squares = [...influence.values()].reduce((sum, off) => sum + off ** 2, 0);
  const reach = stores > 1 ? z975 * Math.sqrt((stores / (stores - 1)) * squares) : Number.NaN;
  // a part that is the same for every test differs by what doubles lose in a mean alone
  const size = Math.abs(before) + Math.abs(after);
  const unlessRounding = (gap: number): number => (Math.abs(gap) <= 1e-12 * size ? 0 : gap);
  const gap = unlessRounding(after - before);
  return {
    before,
    after,
    change: gap,
    low: unlessRounding(gap - reach),
    high: unlessRounding(gap + reach),
  };
};
