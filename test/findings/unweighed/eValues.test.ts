import { describe, expect, it } from 'vitest';
import {
  countEvidence,
  leastTold,
  pValueEvidence,
  shareInDoubt,
  together,
} from '../../../src/findings/unweighed/eValues.ts';

/** Chance of k of n at a rate. */
const binomial = (k: number, n: number, rate: number): number => {
  let ways = 1;
  for (let i = 1; i <= k; i++) ways *= (n - k + i) / i;
  return ways * rate ** k * (1 - rate) ** (n - k);
};

describe('countEvidence', () => {
  it('has a mean of at most 1 up to the rate, and more above it', () => {
    const meanAt = (rate: number): number =>
      Array.from({ length: 41 }, (_, k) => binomial(k, 40, rate) * countEvidence(k, 40, 0.1)).reduce(
        (sum, one) => sum + one,
        0,
      );
    for (const rate of [0.001, 0.02, 0.05, 0.1]) expect(meanAt(rate)).toBeLessThanOrEqual(1);
    expect(meanAt(0.3)).toBeGreaterThan(10);
  });

  it('is worked by hand for two of two', () => {
    expect(countEvidence(2, 2, 0.1)).toBeCloseTo(1 / (3 * 0.01), 9);
    // the doubt is a p-value of its own
    expect(countEvidence(2, 2, 0.1, 0.04)).toBeCloseTo(1 / (3 * 0.05), 9);
    expect(countEvidence(2, 2, Number.NaN)).toBeNaN();
    expect(countEvidence(2, 2, 0.1, Number.NaN)).toBeNaN();
  });
});

describe('pValueEvidence', () => {
  it('has a mean of 1 over all p-values', () => {
    const n = 100000;
    let sum = 0;
    for (let k = 0; k < n; k++) sum += pValueEvidence((k + 0.5) / n);
    expect(sum / n).toBeCloseTo(1, 2);
    expect(pValueEvidence(Number.NaN)).toBeNaN();
    expect(pValueEvidence(0)).toBeLessThan(Number.POSITIVE_INFINITY);
  });
});

describe('together', () => {
  it('multiplies, each kind half and half, without the missing', () => {
    expect(together([99, Number.NaN, 0])).toBe(25);
    expect(together([])).toBe(1);
  });
});

describe('shareInDoubt', () => {
  it('counts who shows what chance does once in 100 times, and one at least', () => {
    const plain = { count: 1, n: 20, rate: 0.1 };
    const odd = { count: 12, n: 20, rate: 0.1 };
    expect(shareInDoubt([plain, plain, plain, plain])).toBe(0.25);
    expect(shareInDoubt([odd, plain, odd, plain])).toBe(0.5);
  });
});

describe('leastTold', () => {
  it('is the smallest that reaches n / (k share)', () => {
    expect(leastTold([1, 200, 0, 3], 0.01)).toBe(Number.POSITIVE_INFINITY);
    expect(leastTold([1, 400, 0, 3], 0.01)).toBe(400);
    // two together need less each
    expect(leastTold([250, 1, 0, 210], 0.01)).toBe(210);
    expect(leastTold([], 0.01)).toBe(Number.POSITIVE_INFINITY);
  });
});
