import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { verdictOf } from './bars.ts';
import { largest, rate, rootMeanSquare, share, spearman, summaryOf } from './figures.ts';

describe('figures over seeds', () => {
  it('pools cases over seeds, and tells the standard error of a ratio of sums', () => {
    // 3 of 10 and 1 of 10: mean 0.2; deviations 1 and -1, so (2 / 1 x 2) ** 0.5 / 20
    const { value, standardError, cases } = summaryOf([rate(3, 10), rate(1, 10)]);
    expect([value, standardError, cases]).toEqual([0.2, 0.1, 20]);
  });
  it('has no error with one seed and no value without cases', () => {
    expect(summaryOf([rate(1, 4)])).toEqual({ value: 0.25, standardError: Number.NaN, cases: 4 });
    expect(summaryOf([rate(0, 0)]).value).toBeNaN();
    expect(summaryOf([]).cases).toBe(0);
  });
  it('takes roots and largest values over all seeds together', () => {
    expect(
      summaryOf([rootMeanSquare([3, 4], (one) => one), rootMeanSquare([0, 5], (one) => one)]).value,
    ).toBe(Math.sqrt(50 / 4));
    expect(summaryOf([largest([1, 7], (one) => one), largest([2], (one) => one)]).value).toBe(7);
  });
  it('ranks by Spearman with average ranks for ties', () => {
    const of = (pairs: [number, number][]): number =>
      spearman(
        pairs,
        ([a]) => a,
        ([, b]) => b,
      ).top;
    expect(
      of([
        [1, 10],
        [2, 20],
        [3, 15],
      ]),
    ).toBeCloseTo(0.5, 12);
    // ranks 0.5 0.5 2 against 0 1 2: sqrt(3) / 2
    expect(
      of([
        [1, 1],
        [1, 2],
        [2, 3],
      ]),
    ).toBeCloseTo(Math.sqrt(3) / 2, 12);
  });
  it('counts shares within 0 and 1', () => {
    fc.assert(
      fc.property(fc.array(fc.boolean(), { minLength: 1 }), (cases) => {
        const { value } = summaryOf([share(cases, (one) => one)]);
        return value >= 0 && value <= 1;
      }),
    );
  });
});

describe('bars', () => {
  it('judges both ends, and only in the variants that are meant', () => {
    expect(verdictOf('coverage saleable', 'base', 0.95)).toBe('met');
    expect(verdictOf('coverage saleable', 'base', 0.98)).toBe('missed');
    expect(verdictOf('outside 95 % funnel', 'zero', 0.2)).toBe('missed');
    expect(verdictOf('outside 95 % funnel', 'base', 0.2)).toBe('');
    expect(verdictOf('tests used', 'base', 0.2)).toBe('');
  });
});
