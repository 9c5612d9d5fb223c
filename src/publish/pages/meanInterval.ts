import { mean, sampleStandardDeviation } from 'simple-statistics';
import { z975 } from '../../tables/normalDistribution.ts';

/** Mean of the finite values with its 95 % interval (normal) and n; NaN bounds below 2 values. */
export const meanInterval = (
  values: readonly number[],
): { value: number; low: number; high: number; n: number } => {
  const known = values.filter(Number.isFinite);
  if (known.length === 0) return { value: Number.NaN, low: Number.NaN, high: Number.NaN, n: 0 };
  const value = mean(known);
  const reach =
    known.length > 1 ? (z975 * sampleStandardDeviation(known)) / Math.sqrt(known.length) : Number.NaN;
  return { value, low: value - reach, high: value + reach, n: known.length };
};
