const consistency = 1.1926;
/** Small-sample factors for n = 2 .. 9 (Croux & Rousseeuw 1992). */
const smallSample = [0.743, 1.851, 0.954, 1.351, 0.993, 1.198, 1.005, 1.131];

const sampleFactor = (n: number): number => {
  if (n <= 9) return smallSample[n - 2] as number;
  return n % 2 === 1 ? n / (n - 0.9) : 1;
};

/**
 * Sn scale: low median of each value's high median distance to all, 50 % breakdown, no center (Rousseeuw & Croux 1993 JASA
 * 88:1273), an SD at the normal. NaN for fewer than two values; missing values (NaN) are left out. `correct`: small-sample
 * factor (default yes).
 */
export const snScale = (values: ArrayLike<number>, { correct = true } = {}): number => {
  const sorted = Float64Array.from(values)
    .filter((value) => !Number.isNaN(value))
    .sort();
  const n = sorted.length;
  if (n < 2) return Number.NaN;
  const high = Math.floor(n / 2) + 1;
  const typical = sorted.map((_, i) => orderedDistance(sorted, i, high)).sort();
  const low = typical[Math.floor((n + 1) / 2) - 1] as number;
  return consistency * low * (correct ? sampleFactor(n) : 1);
};

/** The k-th smallest (from 1) distance of value i to all values, itself included: the shortest window of k values that holds i. */
const orderedDistance = (sorted: Float64Array, i: number, k: number): number => {
  const n = sorted.length;
  const reach = (from: number): number =>
    Math.max(
      (sorted[i] as number) - (sorted[from] as number),
      (sorted[from + k - 1] as number) - (sorted[i] as number),
    );
  let low = Math.max(0, i - k + 1);
  let high = Math.min(i, n - k);
  // the distance to the left end falls with `from`, the one to the right end rises: halve for the crossing
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    const [left, right] = [
      (sorted[i] as number) - (sorted[middle] as number),
      (sorted[middle + k - 1] as number) - (sorted[i] as number),
    ];
    if (left > right) low = middle;
    else high = middle;
  }
  return Math.min(reach(low), reach(high));
};
