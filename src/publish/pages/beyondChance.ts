import { normalQuantile, z975 } from '../../tables/normalDistribution.ts';

type Interval = { value: number; low: number; high: number };

const outside = 0.025;

/**
 * Those of several means that lie off 0 by more than chance: their intervals (95 % each) widened so that, where nothing is
 * to be seen, in 19 of 20 nights none of them all leaves 0 out (Bonferroni, normal).
 */
export const beyondChance = <Row extends Interval>(rows: readonly Row[]): Row[] => {
  const known = rows.filter(({ low, high }) => Number.isFinite(low) && Number.isFinite(high));
  const wider = normalQuantile(1 - outside / Math.max(1, known.length)) / z975;
  return known.filter(({ value, low, high }) => Math.abs(value) > (wider * (high - low)) / 2);
};

/** What is left of an independent mean after another is taken from it, with its 95 % interval. */
export const differenceOf = (after: Interval, before: Interval): Interval => {
  const value = after.value - before.value;
  const reach = Math.hypot((after.high - after.low) / 2, (before.high - before.low) / 2);
  return { value, low: value - reach, high: value + reach };
};
