/** Makes the order statistic of pairwise differences an SD at the normal: 1 / (sqrt 2 x normal quantile of 5/8). */
const consistency = 2.21914;
/** Small-sample factors for n = 2 .. 12, and n >= 13, as in R's robustbase 0.95 (Croux & Rousseeuw 1992, refined there). */
const smallSample = [
  0.399356, 0.99365, 0.51321, 0.84401, 0.6122, 0.85877, 0.66993, 0.87344, 0.72014, 0.88906, 0.75743,
];

const sampleFactor = (n: number): number => {
  if (n <= 12) return smallSample[n - 2] as number;
  const bias =
    n % 2 === 1 ? 1.60188 + (-2.1284 - 5.172 / n) / n : 3.67561 + (1.9654 + (6.987 - 77 / n) / n) / n;
  return 1 / (1 + bias / n);
};

/**
 * Qn scale: a quarter quantile of all pairwise differences, 50 % breakdown and 82 % efficiency without a center (Rousseeuw &
 * Croux 1993 JASA 88:1273), an SD at the normal. In n log n by halving: counts of pairs within a distance need one walk
 * over the sorted values. NaN for fewer than two values; missing values (NaN) are left out. `correct`: small-sample factor
 * (default yes).
 */
export const qnScale = (values: ArrayLike<number>, { correct = true } = {}): number => {
  const sorted = Float64Array.from(values)
    .filter((value) => !Number.isNaN(value))
    .sort();
  const n = sorted.length;
  if (n < 2) return Number.NaN;
  const half = Math.floor(n / 2) + 1;
  const difference = orderedDifference(sorted, (half * (half - 1)) / 2);
  return consistency * difference * (correct ? sampleFactor(n) : 1);
};

/** The k-th smallest (from 1) of all n (n - 1) / 2 differences of sorted values. */
const orderedDifference = (sorted: Float64Array, k: number): number => {
  const n = sorted.length;
  let low = 0;
  let high = (sorted[n - 1] as number) - (sorted[0] as number);
  let within = pairsWithin(sorted, 0);
  if (within >= k) return 0;
  let reached = (n * (n - 1)) / 2;
  // fewer than k within `low`, at least k within `high`
  for (let round = 0; round < 80 && reached - within > 4 * n; round++) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) break;
    const count = pairsWithin(sorted, middle);
    if (count < k) [low, within] = [middle, count];
    else [high, reached] = [middle, count];
  }
  return reached - within > 4 * n
    ? high
    : (differencesBetween(sorted, low, high).sort()[k - within - 1] as number);
};

/** Number of pairs at most `distance` apart. */
const pairsWithin = (sorted: Float64Array, distance: number): number => {
  let count = 0;
  let j = 0;
  for (let i = 1; i < sorted.length; i++) {
    while ((sorted[i] as number) - (sorted[j] as number) > distance) j++;
    count += i - j;
  }
  return count;
};

/** Differences above `low` and up to `high`. */
const differencesBetween = (sorted: Float64Array, low: number, high: number): Float64Array => {
  const found: number[] = [];
  let j = 0;
  for (let i = 1; i < sorted.length; i++) {
    while ((sorted[i] as number) - (sorted[j] as number) > high) j++;
    for (let k = j; k < i; k++) {
      const difference = (sorted[i] as number) - (sorted[k] as number);
      if (difference <= low) break;
      found.push(difference);
    }
  }
  return Float64Array.from(found);
};
