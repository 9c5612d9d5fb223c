import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitMixedModel } from '../../../src/model/mixed/fitMixedModel.ts';
import {
  huberLocation,
  huberLocationAndScale,
  huberMoments,
  huberWeight,
} from '../../../src/model/robust/huberLocation.ts';
import { madScale } from '../../../src/model/robust/huberWeights.ts';
import { qnScale } from '../../../src/model/robust/qnScale.ts';
import { snScale } from '../../../src/model/robust/snScale.ts';
import { tauScale } from '../../../src/model/robust/tauScale.ts';
import { quantile } from '../../../src/tables/quantile.ts';
import { seededNormals } from '../../findings/change/seededNormals.ts';

// Reference: test/reference/robust.json, made by robust.R with R robustbase and MASS (versions inside the file).
const {
  scales,
  psi,
  rlm_huber_stackloss: regression,
} = JSON.parse(readFileSync('test/reference/robust.json', 'utf8'));
const integers = fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 2, maxLength: 40 });

describe('robust scales and locations against R', () => {
  for (const [name, expected] of Object.entries<(typeof scales)[string]>(scales))
    it(name, () => {
      expect(madScale(expected.x)).toBeCloseTo(expected.mad, 12);
      // R's Qn of hbk_Y holds 0.4 in single precision; the definition itself is checked below, pair by pair
      expect(qnScale(expected.x) / expected.Qn).toBeCloseTo(1, 7);
      expect(qnScale(expected.x, { correct: false }) / expected.Qn_no_finite_corr).toBeCloseTo(1, 7);
      expect(snScale(expected.x)).toBeCloseTo(expected.Sn, 12);
      expect(snScale(expected.x, { correct: false })).toBeCloseTo(expected.Sn_no_finite_corr, 12);
      expect(tauScale(expected.x)).toBeCloseTo(expected.scaleTau2, 12);
      expect(quantile(expected.x, 0.5)).toBe(expected.median);
      // R stops its iteration at 1e-6 of the scale
      const location = huberLocation(expected.x, 1.5);
      expect(Math.abs(location.center - expected['huberM_k1.5'].mu)).toBeLessThan(1e-5);
      expect(location.scale).toBeCloseTo(expected['huberM_k1.5'].s, 12);
      // R stops proposal 2 after 30 rounds, some 4e-4 before the end: the equations themselves are the check
      const both = huberLocationAndScale(expected.x, 1.5);
      expect(Math.abs(both.center - expected['huber_proposal2_k1.5'].mu)).toBeLessThan(1e-3);
      expect(Math.abs(both.scale - expected['huber_proposal2_k1.5'].s)).toBeLessThan(1e-3);
      const psis = expected.x.map((value: number) => {
        const z = (value - both.center) / both.scale;
        return z * huberWeight(z, 1.5);
      });
      const sum = (values: number[]): number => values.reduce((total, value) => total + value, 0);
      expect(sum(psis)).toBeCloseTo(0, 9);
      const squares = sum(psis.map((value: number) => value * value));
      expect(squares / (psis.length - 1)).toBeCloseTo(huberMoments(1.5).square, 9);
    });
  it('psi, its weights and its moments', () => {
    const { x, psi: bounded, weight } = psi['huber_k1.345'];
    for (const [i, z] of x.entries()) {
      expect(huberWeight(z, 1.345)).toBeCloseTo(weight[i], 14);
      expect(z * huberWeight(z, 1.345)).toBeCloseTo(bounded[i], 14);
    }
    const { square, slope } = huberMoments(psi.huber_consistency.k);
    // R integrated this one numerically, to about 1e-7
    expect(square).toBeCloseTo(psi.huber_consistency.E_psi2, 6);
    expect(slope).toBeCloseTo(psi.huber_consistency.E_psi1, 9);
  });
  it('regression with these weights through the engine', () => {
    const rows: string[][] = parse(readFileSync('test/reference/data/stackloss.csv', 'utf8'), { from: 2 });
    const column = (j: number): Float64Array => Float64Array.from(rows, (row) => Number(row[j]));
    const y = column(3);
    const x = [new Float64Array(y.length).fill(1), column(0), column(1), column(2)];
    let weights: Float64Array = new Float64Array(y.length).fill(1);
    let fit = fitMixedModel({ y, x, factors: [], weights });
    let scale = 0;
    for (let round = 0; round < 200; round++) {
      const residual = y.map((value, i) =>
        x.reduce((rest, own, j) => rest - (own[i] as number) * (fit.beta[j] as number), value),
      );
      scale = quantile(residual.map(Math.abs), 0.5) / 0.6745;
      weights = residual.map((own) => huberWeight(own / scale, 1.345));
      fit = fitMixedModel({ y, x, factors: [], weights });
    }
    for (const [j, own] of regression.coef.entries()) expect(fit.beta[j]).toBeCloseTo(own, 8);
    expect(scale).toBeCloseTo(regression.scale, 8);
    for (const [i, own] of regression.weights.entries()) expect(weights[i]).toBeCloseTo(own, 8);
  });
});

describe('robust scales by definition', () => {
  /** All pairs, no shortcuts. */
  const plainQn = (x: readonly number[]): number => {
    const differences = x.flatMap((a, i) => x.slice(0, i).map((b) => Math.abs(a - b))).sort((a, b) => a - b);
    const half = Math.floor(x.length / 2) + 1;
    return 2.21914 * (differences[(half * (half - 1)) / 2 - 1] as number);
  };
  const plainSn = (x: readonly number[]): number => {
    const typical = x
      .map((a) => x.map((b) => Math.abs(a - b)).sort((c, d) => c - d)[Math.floor(x.length / 2)] as number)
      .sort((a, b) => a - b);
    return 1.1926 * (typical[Math.floor((x.length + 1) / 2) - 1] as number);
  };
  it('equal all pairs written out, with many ties', () => {
    fc.assert(
      fc.property(integers, (x) => {
        expect(qnScale(x, { correct: false })).toBe(plainQn(x));
        expect(snScale(x, { correct: false })).toBe(plainSn(x));
      }),
    );
  });
  it('equal all pairs written out for hundreds of values', () => {
    const draw = seededNormals(4);
    const x = Array.from({ length: 701 }, () => draw());
    expect(qnScale(x, { correct: false })).toBeCloseTo(plainQn(x), 13);
    expect(snScale(x, { correct: false })).toBeCloseTo(plainSn(x), 13);
  });
  it('do not mind order, shift, and take the unit along', () => {
    fc.assert(
      fc.property(integers, (x) => {
        const moved = [...x].reverse().map((value) => 4 * value - 8);
        for (const scale of [qnScale, snScale, madScale, tauScale])
          expect(scale(moved)).toBeCloseTo(4 * scale(x), 9);
      }),
    );
  });
  it('know no values, one, equal ones, missing ones', () => {
    for (const scale of [qnScale, snScale]) {
      expect(scale([])).toBeNaN();
      expect(scale([3])).toBeNaN();
      expect(scale([5, 5, 5, 5])).toBe(0);
      expect(scale([1, Number.NaN, 2, 4])).toBe(scale([1, 2, 4]));
    }
    expect(huberLocation([], 1.5).center).toBeNaN();
    expect(huberLocation([2, 2, 2, 9], 1.5)).toEqual({ center: 2, scale: 0 });
  });
  it('stay with nearly half of the values gone astray', () => {
    const draw = seededNormals(6);
    const x = Array.from({ length: 201 }, (_, i) => (i < 95 ? 1e6 + i : draw()));
    for (const scale of [qnScale, snScale]) expect(scale(x)).toBeLessThan(5);
  });
  it('are standard deviations at the normal, also for few values', () => {
    const draw = seededNormals(12);
    for (const n of [4, 7, 10, 13, 20, 41]) {
      const runs = 3000;
      let [q, s] = [0, 0];
      for (let run = 0; run < runs; run++) {
        const x = Array.from({ length: n }, () => draw());
        q += qnScale(x) / runs;
        s += snScale(x) / runs;
      }
      expect(q, `Qn of ${n}`).toBeGreaterThan(0.95);
      expect(q, `Qn of ${n}`).toBeLessThan(1.06);
      expect(s, `Sn of ${n}`).toBeGreaterThan(0.95);
      expect(s, `Sn of ${n}`).toBeLessThan(1.06);
    }
  });
});
