import { groupedBy } from '../../tables/groupedBy.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { ratioEstimate } from '../../tables/ratioEstimate.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import type { Followed, SplitTest } from './valueParts.ts';

/** An item's figure per billed kg in one month: as cut, and with grade, weight, spec, supplier and method held at their mean. */
export type TrendRow = {
  item: string;
  followed: Followed;
  month: string;
  tests: number;
  asCut: number;
  mixHeld: number;
  low: number;
  high: number;
};

const fewestTests = 5;

/** By item and month with at least 5 tests; the interval is of the mix-held mean. */
export const valueTrend = (split: readonly SplitTest[], followed: Followed): TrendRow[] => {
  const byItem = groupedBy(split, (one) => one.test.item);
  return [...byItem.keys()].sort().flatMap((item) => {
    const own = byItem.get(item) as SplitTest[];
    const meanMix = weighed(own, mixOf).value;
    const months = groupedBy(own, (one) => isoFromDay(one.test.cutDay).slice(0, 7));
    return [...months.keys()].sort().flatMap((month): TrendRow[] => {
      const tests = months.get(month) as SplitTest[];
      if (tests.length < fewestTests) return [];
      const held = weighed(tests, (one) => one.total - mixOf(one));
      return [
        {
          item,
          followed,
          month,
          tests: tests.length,
          asCut: weighed(tests, (one) => one.total).value,
          mixHeld: held.value + meanMix,
          low: held.value + meanMix - z975 * held.sd,
          high: held.value + meanMix + z975 * held.sd,
        },
      ];
    });
  });
};

const mixOf = ({ parts }: SplitTest): number =>
  parts.grade + parts.weight + parts.spec + parts.supplier + parts.method;

/** Mean by billed weight with its standard error. */
const weighed = (tests: readonly SplitTest[], value: (one: SplitTest) => number) =>
  ratioEstimate(
    tests.map((one) => one.test.billedFilledKg * value(one)),
    tests.map((one) => one.test.billedFilledKg),
  );
