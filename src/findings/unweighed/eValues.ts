import { binomialAtLeast } from '../../tables/betaDistribution.ts';

/**
 * Evidence as e-values: numbers whose mean is at most 1 where all is honest, so that one of 1,000 comes once in 1,000 times at most
 * (Vovk & Wang 2021 Ann. Stat. 49:1736, from memory). Those of kinds that rest on different figures are multiplied, those of several tries averaged.
 */

/**
 * e-value of a count of n: 1 / ((n + 1) P(X >= count)), as each of the n + 1 possible counts adds at most 1 / (n + 1) to the mean, at every
 * rate up to `rate`. `doubt`: how likely a harmless reason holds and shows as much. NaN where either is.
 */
export const countEvidence = (count: number, n: number, rate: number, doubt = 0): number =>
  Number.isNaN(rate + doubt)
    ? Number.NaN
    : 1 / ((n + 1) * (binomialAtLeast(count, n, Math.min(highestRate, rate)) + doubt));
const highestRate = 0.9;

/** e-value of a p-value: 1 / (2 sqrt(p)), one of the calibrators given there. NaN stays NaN. */
export const pValueEvidence = (p: number): number => 0.5 / Math.sqrt(Math.max(p, Number.MIN_VALUE));

/** Several kinds together: who writes sheets may show each of them or not, half and half. Missing ones are left out. */
export const together = (kinds: readonly number[]): number =>
  kinds.reduce((product, e) => (Number.isNaN(e) ? product : product * (0.5 + 0.5 * e)), 1);

const seldom = 0.01;

/**
 * Share of people for whom a harmless reason may hold, such as a steady hand: all who show what comes by chance once in 100 times, those who
 * write sheets among them, and one person at least.
 */
export const shareInDoubt = (all: readonly { count: number; n: number; rate: number }[]): number =>
  Math.max(1, all.filter(({ count, n, rate }) => binomialAtLeast(count, n, rate) < seldom).length) /
  all.length;

/**
 * The least e-value that is told: where the k-th largest of n is at least n / (k share), at most that share of the k largest is false,
 * however they depend on each other (Wang & Ramdas 2022 JRSSB 84:822, from memory). Infinity for none.
 */
export const leastTold = (all: readonly number[], share: number): number => {
  const sorted = [...all].sort((a, b) => b - a);
  const last = sorted.findLastIndex((e, place) => e >= all.length / ((place + 1) * share));
  return sorted[last] ?? Number.POSITIVE_INFINITY;
};
