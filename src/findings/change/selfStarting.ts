import { studentLower } from '../../tables/betaDistribution.ts';
import { normalQuantile } from '../../tables/normalDistribution.ts';

/**
 * Each value against those before it alone, as independent standard normal values while nothing changes, mean and SD both
 * unknown (Hawkins 1987 The Statistician 36:295; Quesenberry 1991 JQT 23:213): T = sqrt((t-1)/t) (x - mean) / SD is Student's
 * t with t - 2 degrees of freedom, turned to the normal quantile of its probability. Oldest first; length kept; NaN for the
 * first two values, for missing ones, and while all values before are equal.
 */
export const selfStarting = (values: ArrayLike<number>): Float64Array => {
  const standardized = new Float64Array(values.length).fill(Number.NaN);
  let [n, mean, squares] = [0, 0, 0];
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number;
    if (Number.isNaN(value)) continue;
    if (n >= 2 && squares > 0) {
      const sd = Math.sqrt(squares / (n - 1));
      const t = ((value - mean) / sd) * Math.sqrt(n / (n + 1));
      // the smaller tail keeps its digits
      standardized[i] = -Math.sign(t) * normalQuantile(studentLower(-Math.abs(t), n - 1)) || 0;
    }
    n++;
    const gap = value - mean;
    mean += gap / n;
    squares += gap * (value - mean);
  }
  return standardized;
};

/** SD of one value about its mean; prior of that mean (priorSd Infinity: nothing known, the first value is then NaN). */
export type KnownSpread = { sd: number; priorMean: number; priorSd: number };

/**
 * Each value against what was to be expected from the prior and the values before it, divided by the SD of that forecast:
 * independent standard normal values while nothing changes. Use where the SD of one value is known from many others.
 * Oldest first; length kept; NaN for missing values.
 */
export const forecastErrors = (
  values: ArrayLike<number>,
  { sd, priorMean, priorSd }: KnownSpread,
): Float64Array => {
  const standardized = new Float64Array(values.length).fill(Number.NaN);
  const precision = 1 / (sd * sd);
  // with nothing known before, the prior has no precision and its mean does not count
  let known = 1 / (priorSd * priorSd);
  let mean = known > 0 ? priorMean : 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number;
    if (Number.isNaN(value)) continue;
    if (known > 0) standardized[i] = (value - mean) / Math.sqrt(sd * sd + 1 / known);
    known += precision;
    mean += ((value - mean) * precision) / known;
  }
  return standardized;
};
