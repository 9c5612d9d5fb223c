/**
 * Quantile of type 7: h = (n - 1) p, linear between order statistics (Hyndman & Fan 1996 Am. Stat. 50:361). `sorted`
 * ascending without NaN; NaN for no values.
 */
export const quantileOfSorted = (sorted: ArrayLike<number>, probability: number): number => {
  const place = (sorted.length - 1) * probability;
  const below = Math.floor(place);
  if (sorted.length === 0) return Number.NaN;
  const [low, high] = [sorted[below] as number, sorted[Math.min(below + 1, sorted.length - 1)] as number];
  return place === below ? low : low + (place - below) * (high - low);
};

/** Type 7 quantile of values in any order; missing values (NaN) are left out. */
export const quantile = (values: ArrayLike<number>, probability: number): number =>
  quantileOfSorted(
    Float64Array.from(values)
      .filter((value) => !Number.isNaN(value))
      .sort(),
    probability,
  );
