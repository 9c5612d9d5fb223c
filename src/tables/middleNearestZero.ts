/** Of the two middle values the one nearer to 0, and 0 where they lie on both sides of it; 0 for fewer than two values. */
export const middleNearestZero = (values: Iterable<number>): number => {
  const sorted = Float64Array.from(values).sort();
  if (sorted.length < 2) return 0;
  const low = sorted[(sorted.length - 1) >> 1] as number;
  const high = sorted[sorted.length >> 1] as number;
  if (low * high <= 0) return 0;
  return Math.abs(low) < Math.abs(high) ? low : high;
};
