import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { benjaminiHochberg } from '../../src/tables/benjaminiHochberg.ts';

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
