import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { binomialAtLeast, fUpper, fUpperQuantile, studentLower } from '../../src/tables/betaDistribution.ts';
import { chiSquaredLower, chiSquaredQuantile, chiSquaredUpper } from '../../src/tables/gammaDistribution.ts';
import { normalCdf, normalDensity, normalQuantile, z975 } from '../../src/tables/normalDistribution.ts';

// References: test/reference/misc.json (special) and distributions.json, made with R by the scripts beside them.
type Columns = Record<string, number[]>;
const read = (name: string) => JSON.parse(readFileSync(`test/reference/${name}.json`, 'utf8'));
const references: Record<string, Columns>[] = [read('misc').special, read('distributions')];

const compare = (topic: string, column: string, ours: (row: (name: string) => number) => number): void => {
  for (const reference of references) {
    const columns = reference[topic] as Columns;
    if (columns[column] === undefined) continue;
    for (const [i, expected] of columns[column].entries()) {
      const value = ours((name) => columns[name]?.[i] as number);
      // relative, so that far tails count; 1e-300 keeps exact zeros comparable
      const digits = expected === 0 ? Math.abs(value) : Math.abs(value / expected - 1);
      expect(digits, `${topic} ${column} row ${i}: ${value} for ${expected}`).toBeLessThan(2e-12);
    }
  }
};

describe('distributions against R', () => {
  it('normal', () => {
    compare('pnorm', 'p', (of) => normalCdf(of('x')));
    compare('qnorm', 'x', (of) => normalQuantile(of('p')));
    expect(normalCdf(z975)).toBeCloseTo(0.975, 15);
  });
  it('chi-squared', () => {
    compare('pchisq', 'upper', (of) => chiSquaredUpper(of('x'), of('df')));
    compare('pchisq', 'lower', (of) => chiSquaredLower(of('x'), of('df')));
    compare('qchisq', 'x', (of) => chiSquaredQuantile(of('p'), of('df')));
  });
  it('t, F and binomial', () => {
    compare('pt', 'p', (of) => studentLower(of('t'), of('df')));
    compare('pf', 'upper', (of) => fUpper(of('f'), of('df1'), of('df2')));
    compare('pbinom', 'upper_ge', (of) => binomialAtLeast(of('k'), of('n'), of('p')));
  });
});

describe('distributions at their edges', () => {
  it('ends, missing and impossible values', () => {
    expect(normalCdf(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(normalCdf(Number.POSITIVE_INFINITY)).toBe(1);
    expect(normalCdf(Number.NaN)).toBeNaN();
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY);
    expect(normalQuantile(1.1)).toBeNaN();
    expect(normalDensity(0)).toBeCloseTo(0.3989422804014327, 15);
    expect(chiSquaredUpper(0, 3)).toBe(1);
    expect(chiSquaredUpper(Number.POSITIVE_INFINITY, 3)).toBe(0);
    expect(chiSquaredQuantile(0, 3)).toBe(0);
    expect(chiSquaredQuantile(0.5, 0)).toBeNaN();
    expect(studentLower(Number.NEGATIVE_INFINITY, 4)).toBe(0);
    expect(fUpper(0, 2, 5)).toBe(1);
    expect(fUpperQuantile(0, 2, 5)).toBeNaN();
    expect(binomialAtLeast(0, 5, 0.2)).toBe(1);
    expect(binomialAtLeast(6, 5, 0.2)).toBe(0);
  });
  it('quantiles undo tails', () => {
    const tail = fc.double({ min: 1e-12, max: 1 - 1e-12, noNaN: true });
    const df = fc.double({ min: 0.6, max: 400, noNaN: true });
    fc.assert(
      fc.property(tail, df, df, (p, df1, df2) => {
        expect(normalCdf(normalQuantile(p)) / p).toBeCloseTo(1, 10);
        expect(chiSquaredLower(chiSquaredQuantile(p, df1), df1) / p).toBeCloseTo(1, 10);
        expect(fUpper(fUpperQuantile(p, df1, df2), df1, df2) / p).toBeCloseTo(1, 9);
      }),
      { numRuns: 40 },
    );
  });
});
