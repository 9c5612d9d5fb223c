import { gammaln } from 'simple-statistics';
import { increasingRoot } from './increasingRoot.ts';

const tiny = 1e-300;

/** Regularized incomplete beta function I_x(a, b) by Lentz's continued fraction (Press et al. 2007, 6.4). a, b > 0; `y` is 1 - x, given apart to keep its digits. */
const incompleteBeta = (x: number, y: number, [a, b]: readonly [number, number]): number => {
  if (!(a > 0 && b > 0) || Number.isNaN(x)) return Number.NaN;
  if (x <= 0) return 0;
  if (y <= 0) return 1;
  const front = Math.exp(gammaln(a + b) - gammaln(a) - gammaln(b) + a * Math.log(x) + b * Math.log(y));
  return x < (a + 1) / (a + b + 2) ? (front * fraction(x, a, b)) / a : 1 - (front * fraction(y, b, a)) / b;
};

const fraction = (x: number, a: number, b: number): number => {
  let c = 1;
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1));
  let value = d;
  for (let m = 1; m < 1e5; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / nonZero(1 + even * d);
    c = nonZero(1 + even / c);
    value *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / nonZero(1 + odd * d);
    c = nonZero(1 + odd / c);
    value *= d * c;
    if (Math.abs(d * c - 1) < 4e-16) break;
  }
  return value;
};

const nonZero = (value: number): number => (Math.abs(value) < tiny ? tiny : value);

/** P(T <= t) of Student's t with `df` degrees of freedom (the upper tail is studentLower(-t, df)). */
export const studentLower = (t: number, df: number): number => {
  const square = t * t;
  if (square === Number.POSITIVE_INFINITY) return t < 0 ? 0 : 1;
  const tail = incompleteBeta(df / (df + square), square / (df + square), [df / 2, 0.5]) / 2;
  return t <= 0 ? tail : 1 - tail;
};

/** P(F > f) of the F distribution with `df1` and `df2` degrees of freedom, exact far into the tail. */
export const fUpper = (f: number, df1: number, df2: number): number => {
  if (f <= 0) return 1;
  const whole = df2 + df1 * f;
  if (whole === Number.POSITIVE_INFINITY) return 0;
  return incompleteBeta(df2 / whole, (df1 * f) / whole, [df2 / 2, df1 / 2]);
};

/** f with P(F > f) = tail, 0 < tail < 1. */
export const fUpperQuantile = (tail: number, df1: number, df2: number): number =>
  tail > 0 && tail < 1 ? increasingRoot((f) => -fUpper(f, df1, df2), -tail) : Number.NaN;

/** P(X >= k) for X binomial with n trials of chance p. */
export const binomialAtLeast = (k: number, n: number, p: number): number => {
  if (k <= 0) return 1;
  if (k > n) return 0;
  return incompleteBeta(p, 1 - p, [k, n - k + 1]);
};
