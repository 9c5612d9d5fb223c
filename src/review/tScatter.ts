import { gammaln, median } from 'simple-statistics';
import { cholesky, logDeterminant, squaredLength } from './cholesky.ts';

/** Scatter (k x k, row-major) of a multivariate t about 0 with `nu` degrees of freedom, and its Cholesky factor. */
export type TScatter = { k: number; nu: number; scatter: Float64Array; lower: Float64Array; logDet: number };

/** Log density of a k-variate t: constant part for scatter 1; subtract half the log determinant of the scatter. */
export const tConstant = (nu: number, k: number): number =>
  gammaln((nu + k) / 2) - gammaln(nu / 2) - (k / 2) * Math.log(nu * Math.PI);

const degreesTried = [3, 5, 8, 15, 40];
const rounds = 6;
const targetWorth = 10;
/**
 * About one sheet in a hundred has something wrong, and lies anywhere: a t of 3 degrees with 64 times the scatter. Taken for true
 * sheets, a few such rows make tails so long that no sheet is odd.
 */
const spoiled = { share: 0.012, nu: 3, widening: 64 };
const largestSample = 4000;

/**
 * Robust scatter of residual rows about 0: maximum likelihood of a multivariate t by EM (Lange, Little & Taylor 1989 JASA
 * 84:881; an observation far out weighs (nu + k) / (nu + d^2)), nu chosen by likelihood among a few, spoiled rows apart,
 * drawn towards `target` as if by ten observations so that small groups stay regular. rows: n x k, row-major.
 */
export const tScatter = (rows: Float64Array, k: number, target: Float64Array): TScatter => {
  const sample = thinned(rows, k);
  let best: { fit: TScatter; logLikelihood: number } | undefined;
  for (const nu of degreesTried) {
    const fit = fitted(sample, { k, nu, target });
    const logLikelihood = likelihood(sample, fit);
    if (best === undefined || logLikelihood > best.logLikelihood) best = { fit, logLikelihood };
  }
  return (best as { fit: TScatter }).fit;
};

/** At most 4,000 rows at even steps: enough for k^2 numbers, and the same every night. */
const thinned = (rows: Float64Array, k: number): Float64Array => {
  const n = rows.length / k;
  if (n <= largestSample) return rows;
  const step = n / largestSample;
  const kept = new Float64Array(largestSample * k);
  for (let i = 0; i < largestSample; i++) {
    const from = Math.floor(i * step) * k;
    kept.set(rows.subarray(from, from + k), i * k);
  }
  return kept;
};

const fitted = (
  rows: Float64Array,
  { k, nu, target }: { k: number; nu: number; target: Float64Array },
): TScatter => {
  const n = rows.length / k;
  let current = scatterOf(target, k, nu);
  const scratch = new Float64Array(k);
  for (let round = 0; round < rounds; round++) {
    const sum = target.map((value) => value * targetWorth);
    let total = targetWorth;
    const densities = densitiesOf(current);
    for (let i = 0; i < n; i++) {
      const distance = squaredLength(current.lower, rows, { k, from: i * k, scratch });
      const { good, wrong } = densities(distance);
      const chance = good / (good + wrong);
      total += chance;
      addOuter(sum, rows, { k, from: i * k, weight: (chance * (nu + k)) / (nu + distance) });
    }
    current = scatterOf(
      sum.map((value) => value / total),
      k,
      nu,
    );
  }
  return current;
};

/** Adds weight x row row' to `sum` in place (hot loop). */
const addOuter = (
  sum: Float64Array,
  rows: Float64Array,
  { k, from, weight }: { k: number; from: number; weight: number },
): void => {
  for (let a = 0; a < k; a++) {
    const left = weight * (rows[from + a] as number);
    for (let b = 0; b < k; b++)
      sum[a * k + b] = (sum[a * k + b] as number) + left * (rows[from + b] as number);
  }
};

const scatterOf = (scatter: Float64Array, k: number, nu: number): TScatter => {
  const lower = cholesky(scatter, k);
  if (lower === undefined) throw new Error(`tScatter: scatter of ${k} values is not positive definite`);
  return { k, nu, scatter, lower, logDet: logDeterminant(lower, k) };
};

const likelihood = (rows: Float64Array, fit: TScatter): number => {
  const { k, lower, logDet } = fit;
  const scratch = new Float64Array(k);
  const n = rows.length / k;
  const densities = densitiesOf(fit);
  let sum = (-n * logDet) / 2;
  for (let i = 0; i < n; i++) {
    const { good, wrong } = densities(squaredLength(lower, rows, { k, from: i * k, scratch }));
    sum += Math.log(good + wrong);
  }
  return sum;
};

/** Density of a row as a true and as a spoiled sheet, by its squared distance; without the determinant that both share. */
const densitiesOf = ({
  k,
  nu,
}: Pick<TScatter, 'k' | 'nu'>): ((distance: number) => { good: number; wrong: number }) => {
  const own = tConstant(nu, k);
  const widened = tConstant(spoiled.nu, k) - (k / 2) * Math.log(spoiled.widening);
  return (distance) => ({
    good: (1 - spoiled.share) * Math.exp(own - ((nu + k) / 2) * Math.log1p(distance / nu)),
    wrong:
      spoiled.share *
      Math.exp(widened - ((spoiled.nu + k) / 2) * Math.log1p(distance / spoiled.widening / spoiled.nu)),
  });
};

const madFactor = 1.4826;
/** Nothing is known better than this share of the piece (0.05 points). */
const leastSpread = 5e-4;

/**
 * Scatter of shares that are independent but for their sum: each with its own robust spread, conditioned on what is left
 * over (the mass balance) having its own, far smaller one. rows: n x k of residual shares.
 */
export const closedTarget = (rows: Float64Array, k: number): Float64Array => {
  const n = rows.length / k;
  const spreadOf = (sizeAt: (i: number) => number): number => {
    const sizes = Array.from({ length: n }, (_, i) => Math.abs(sizeAt(i)));
    return Math.max(leastSpread, n === 0 ? 0 : madFactor * median(sizes)) ** 2;
  };
  const own = Array.from({ length: k }, (_, j) => spreadOf((i) => rows[i * k + j] as number));
  const left = spreadOf((i) => {
    let sum = 0;
    for (let j = 0; j < k; j++) sum += rows[i * k + j] as number;
    return sum;
  });
  const total = own.reduce((sum, value) => sum + value, left);
  const target = new Float64Array(k * k);
  for (let a = 0; a < k; a++)
    for (let b = 0; b < k; b++)
      target[a * k + b] =
        (a === b ? (own[a] as number) : 0) - ((own[a] as number) * (own[b] as number)) / total;
  return target;
};
