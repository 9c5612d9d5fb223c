/** A ratio of sums with its standard error and the number of pairs behind it. */
export type RatioEstimate = { value: number; sd: number; tests: number };

/**
 * Sum of parts over sum of wholes with its linearized standard error (Cochran 1977, Sampling Techniques, ch. 6). Pairs
 * with a missing (NaN) part or whole are left out. sd NaN below 2 pairs, value NaN without any.
 */
export const ratioEstimate = (parts: readonly number[], wholes: readonly number[]): RatioEstimate => {
  const pairs = parts.flatMap((part, i) => {
    const whole = wholes[i] as number;
    return Number.isFinite(part) && Number.isFinite(whole) ? [[part, whole] as const] : [];
  });
  const n = pairs.length;
  const whole = pairs.reduce((sum, pair) => sum + pair[1], 0);
  const value = pairs.reduce((sum, pair) => sum + pair[0], 0) / whole;
  const squares = pairs.reduce((sum, pair) => sum + (pair[0] - value * pair[1]) ** 2, 0);
  return {
    value: n > 0 ? value : Number.NaN,
    sd: n > 1 ? Math.sqrt((n / (n - 1)) * squares) / Math.abs(whole) : Number.NaN,
    tests: n,
  };
};
