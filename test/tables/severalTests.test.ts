import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { benjaminiHochberg } from '../../src/tables/benjaminiHochberg.ts';
import { cauchyCombination } from '../../src/tables/cauchyCombination.ts';
import { normalCdf } from '../../src/tables/normalDistribution.ts';
import { seededNormals } from '../findings/change/seededNormals.ts';

// Reference: test/reference/misc.json; p: Benjamini & Hochberg 1995 JRSSB 57:289, 15 p-values of thrombolysis, 4 rejected at 0.05.
const { fdr } = JSON.parse(readFileSync('test/reference/misc.json', 'utf8'));

describe('Benjamini-Hochberg', () => {
  it('equals the reference, with ties', () => {
    for (const [p, expected] of [
      [fdr.p, fdr.BH],
      [fdr.p_ties, fdr.BH_ties],
    ])
      for (const [i, value] of benjaminiHochberg(p).entries()) expect(value).toBeCloseTo(expected[i], 14);
    expect([...benjaminiHochberg(fdr.p)].filter((p) => p <= 0.05)).toHaveLength(4);
  });
  it('leaves missing values out', () => {
    expect([...benjaminiHochberg([0.01, Number.NaN, 0.5])]).toEqual([0.02, Number.NaN, 0.5]);
    expect(benjaminiHochberg([])).toHaveLength(0);
  });
  it('does not mind order', () => {
    const values = fc.array(fc.double({ min: 0, max: 1, noNaN: true }));
    fc.assert(
      fc.property(values, (p) => {
        expect([...benjaminiHochberg([...p].reverse())].reverse()).toEqual([...benjaminiHochberg(p)]);
      }),
    );
  });
});

describe('Cauchy combination', () => {
  it('keeps one p-value, and equal ones', () => {
    expect(cauchyCombination([0.03])).toBeCloseTo(0.03, 14);
    expect(cauchyCombination([1e-12, 1e-12, Number.NaN])).toBeCloseTo(1e-12, 20);
  });
  it('equals a case by hand: cot(pi/6) and cot(pi/4)', () => {
    const mean = (Math.sqrt(3) + 1) / 2;
    expect(cauchyCombination([1 / 6, 1 / 4])).toBeCloseTo(0.5 - Math.atan(mean) / Math.PI, 14);
  });
  it('knows the ends', () => {
    expect(cauchyCombination([])).toBeNaN();
    expect(cauchyCombination([0, 0.5])).toBe(0);
    expect(cauchyCombination([1, 0.001])).toBeLessThan(0.003);
    expect(cauchyCombination([1, 1])).toBeLessThanOrEqual(1);
  });
  it('holds its level for correlated p-values', () => {
    const draw = seededNormals(5);
    const runs = 20_000;
    let hits = 0;
    for (let run = 0; run < runs; run++) {
      const common = draw();
      const p = [0, 1, 2, 3].map(() => normalCdf(-(0.7 * common + Math.sqrt(0.51) * draw())));
      if (cauchyCombination(p) <= 0.01) hits++;
    }
    expect(hits / runs).toBeGreaterThan(0.006);
    expect(hits / runs).toBeLessThan(0.012);
  });
});
