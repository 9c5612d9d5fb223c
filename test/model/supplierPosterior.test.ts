import { describe, expect, it } from 'vitest';
import { fitMixedModel } from '../../src/model/mixed/fitMixedModel.ts';
import { robustFit } from '../../src/model/mixed/robustFit.ts';
import { supplierPosterior } from '../../src/model/supplierPosterior.ts';
import { z975 } from '../../src/tables/normalDistribution.ts';
import { seededDraws } from '../simulator/seededDraws.ts';

const lotsEach = 12;

/** Tests of suppliers in lots, by 40 cutters of 10 stores, over a slope; one test in twenty is far off. */
const made = (effects: readonly number[], seed: number) => {
  const draw = seededDraws(seed, 1);
  const n = effects.length * lotsEach * 12;
  const supplier = Int32Array.from({ length: n }, (_, i) => i % effects.length);
  const delivery = supplier.map((code) => code * lotsEach + Math.floor(lotsEach * draw.uniform()));
  const cutter = Int32Array.from({ length: n }, () => Math.floor(40 * draw.uniform()));
  const store = cutter.map((code) => Math.floor(code / 4));
  const x = Float64Array.from({ length: n }, () => draw.normal());
  const [ofLot, ofCutter, ofStore] = [effects.length * lotsEach, 40, 10].map((count, k) =>
    Float64Array.from({ length: count }, () => ([0.5, 0.6, 0.4][k] as number) * draw.normal()),
  ) as [Float64Array, Float64Array, Float64Array];
  const y = x.map(
    (value, i) =>
      70 +
      0.5 * value +
      (effects[supplier[i] as number] as number) +
      (ofLot[delivery[i] as number] as number) +
      (ofCutter[cutter[i] as number] as number) +
      (ofStore[store[i] as number] as number) +
      1.5 * draw.normal() * (draw.uniform() < 0.05 ? 4 : 1),
  );
  const problem = {
    y,
    x: [new Float64Array(n).fill(1), x],
    factors: [
      { codes: cutter, levels: 40 },
      { codes: store, levels: 10 },
      { codes: supplier, levels: effects.length },
    ],
    weights: new Float64Array(n).fill(1),
  };
  return { problem, clusters: { group: supplier, inner: delivery, crossed: store } };
};

/** Share of 95 % intervals of all differences between two suppliers that hold the truth, their mean half width and error (rms). */
const judged = (effects: readonly number[], chains: number) => {
  let [held, all, width, squares] = [0, 0, 0, 0];
  for (let c = 0; c < chains; c++) {
    const { problem, clusters } = made(effects, c);
    const fit = robustFit(problem, 3);
    const { coefficients, covariance } = supplierPosterior(problem, fit, { factor: 2, clusters });
    const size = coefficients.length;
    const at = (i: number, j: number): number => covariance[(i + 2) * size + j + 2] as number;
    for (let a = 0; a < effects.length; a++)
      for (let b = 0; b < a; b++) {
        const reach = z975 * Math.sqrt(at(a, a) + at(b, b) - 2 * at(a, b));
        const told = (coefficients[a + 2] as number) - (coefficients[b + 2] as number);
        const error = told - ((effects[a] as number) - (effects[b] as number));
        held += Math.abs(error) <= reach ? 1 : 0;
        width += reach;
        squares += error * error;
        all += 1;
      }
  }
  return { cover: held / all, width: width / all, error: Math.sqrt(squares / all) };
};

describe('supplierPosterior', () => {
  it('holds the true difference between two suppliers, about as wide as it errs', () => {
    for (const effects of [
      [0, 2, -2, 0.6, 0],
      [0.1, 0, -0.1, 0],
    ]) {
      const { cover, width, error } = judged(effects, 40);
      expect(cover).toBeGreaterThan(0.91);
      expect(width / (z975 * error)).toBeGreaterThan(0.85);
      expect(width / (z975 * error)).toBeLessThan(1.6);
    }
  });
  it('knows the average supplier far better than a spread of suppliers would let it, and all differences add to 0', () => {
    const { problem, clusters } = made([0, 2, -2, 0.6, 0], 3);
    const fit = robustFit(problem, 3);
    const { coefficients, covariance, unseen } = supplierPosterior(problem, fit, { factor: 2, clusters });
    expect(coefficients.slice(2).reduce((sum, value) => sum + value, 0)).toBeCloseTo(0, 9);
    for (let i = 0; i < 7; i++)
      expect(covariance.slice(i * 7 + 2, i * 7 + 7).reduce((sum, value) => sum + value, 0)).toBeCloseTo(0, 9);
    // stores 0.4 / sqrt 10, cutters 0.6 / sqrt 40, lots 0.5 / sqrt 60, tests
    expect(Math.sqrt(covariance[0] as number)).toBeLessThan(0.3);
    expect(fit.betaCovariance()[0]).toBeGreaterThan(3 * (covariance[0] as number));
    expect(unseen).toBeGreaterThan(1);
  });
  it('leaves fixed effects as they are where no two suppliers are known', () => {
    const { problem, clusters } = made([0, 1], 5);
    const alone = { ...problem, factors: problem.factors.slice(0, 2) };
    const fit = robustFit(alone, 3);
    const found = supplierPosterior(alone, fit, { factor: -1, clusters });
    expect([...found.coefficients]).toEqual([...fit.beta]);
    expect([...found.covariance]).toEqual([...fit.betaCovariance()]);
  });
  it('works where suppliers are the only thing that differs', () => {
    const { problem, clusters } = made([0, 2, -2], 6);
    const alone = { ...problem, factors: problem.factors.slice(2) };
    const found = supplierPosterior(alone, robustFit(alone, 3), { factor: 0, clusters });
    expect(found.coefficients[3]).toBeGreaterThan(1.4);
    expect(found.coefficients[4]).toBeLessThan(-1.4);
  });
});

describe('levelCovariance', () => {
  it('is the block of the inverse of all equations, levels and fixed effects together', () => {
    const { problem } = made([0, 1, -1], 8);
    const few = {
      ...problem,
      factors: [problem.factors[0], problem.factors[2]] as typeof problem.factors,
    };
    const theta = [0.4, 0.8];
    const fit = fitMixedModel(few, theta);
    // [Z (scaled by 1), X]: Henderson's equations in one dense matrix, prior precisions on the diagonal
    const size = 40 + 3 + 2;
    const left = Array.from({ length: size }, () => new Float64Array(size));
    for (let i = 0; i < few.y.length; i++) {
      const own: [number, number][] = [
        [few.factors[0]?.codes[i] as number, 1],
        [40 + (few.factors[1]?.codes[i] as number), 1],
        [43, 1],
        [44, few.x[1]?.[i] as number],
      ];
      for (const [a, u] of own)
        for (const [b, v] of own) (left[a] as Float64Array)[b] = (left[a]?.[b] as number) + u * v;
    }
    for (let a = 0; a < 43; a++)
      (left[a] as Float64Array)[a] = (left[a]?.[a] as number) + 1 / (theta[a < 40 ? 0 : 1] as number) ** 2;
    const { levels, fixed } = fit.levelCovariance(1);
    // left times the claimed columns of its inverse must be unit columns: solve for the part that is not claimed
    for (let g = 0; g < 3; g++) {
      const column = new Float64Array(size);
      for (let h = 0; h < 3; h++) column[40 + h] = (levels[g]?.[h] as number) / fit.sigma ** 2;
      for (let j = 0; j < 2; j++) column[43 + j] = (fixed[g]?.[j] as number) / fit.sigma ** 2;
      for (let c = 0; c < 40; c++) {
        const rest = column.reduce(
          (sum, value, b) => (b < 40 ? sum : sum + value * (left[c]?.[b] as number)),
          0,
        );
        column[c] = -rest / (left[c]?.[c] as number);
      }
      for (let a = 40; a < size; a++)
        expect(column.reduce((sum, value, b) => sum + value * (left[a]?.[b] as number), 0)).toBeCloseTo(
          a === 40 + g ? 1 : 0,
          8,
        );
    }
  });
});
