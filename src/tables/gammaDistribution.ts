import { gammaln } from 'simple-statistics';
import { increasingRoot } from './increasingRoot.ts';

const precision = 1e-16;
const tiny = 1e-300;

/** Regularized incomplete gamma functions P(a, x) and Q(a, x) = 1 - P, each without cancellation (Press et al. 2007, 6.2). a > 0. */
const incompleteGamma = (a: number, x: number): { lower: number; upper: number } => {
  if (!(a > 0) || Number.isNaN(x)) return { lower: Number.NaN, upper: Number.NaN };
  if (x <= 0) return { lower: 0, upper: 1 };
  if (x === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 };
  const front = Math.exp(a * Math.log(x) - x - gammaln(a));
  if (x < a + 1) {
    const lower = front * powerSeries(a, x);
    return { lower, upper: 1 - lower };
  }
  const upper = front * continuedFraction(a, x);
  return { lower: 1 - upper, upper };
};

const powerSeries = (a: number, x: number): number => {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; term > sum * precision; n++) {
    term *= x / (a + n);
    sum += term;
  }
  return sum;
};

/** Lentz's method for the fraction of Q(a, x). */
const continuedFraction = (a: number, x: number): number => {
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let value = d;
  for (let n = 1; n < 1e6; n++) {
    const factor = n * (a - n);
    b += 2;
    d = 1 / nonZero(factor * d + b);
    c = nonZero(b + factor / c);
    value *= d * c;
    if (Math.abs(d * c - 1) < 4 * precision) break;
  }
  return value;
};

const nonZero = (value: number): number => (Math.abs(value) < tiny ? tiny : value);

/** P(chi-squared of `df` degrees of freedom <= x). */
export const chiSquaredLower = (x: number, df: number): number => incompleteGamma(df / 2, x / 2).lower;

/** P(chi-squared of `df` degrees of freedom > x), exact far into the tail. */
export const chiSquaredUpper = (x: number, df: number): number => incompleteGamma(df / 2, x / 2).upper;

/** x with P(chi-squared of `df` degrees of freedom <= x) = probability; 0 at 0, Infinity at 1, NaN outside. */
export const chiSquaredQuantile = (probability: number, df: number): number => {
  if (!(probability >= 0 && probability <= 1) || !(df > 0)) return Number.NaN;
  if (probability === 0) return 0;
  if (probability === 1) return Number.POSITIVE_INFINITY;
  // the smaller tail is the exact one
  return probability < 0.5
    ? increasingRoot((x) => chiSquaredLower(x, df), probability)
    : increasingRoot((x) => -chiSquaredUpper(x, df), probability - 1);
};
