import { quantileSorted } from 'simple-statistics';
import type { MixedProblem } from './crossProducts.ts';
import { fitMixedModel, type MixedFit } from './fitMixedModel.ts';

const huberK = 1.345;
/** E psi'(z) and E psi(z)^2 at k = 1.345 for the normal (test/reference/robust.json), and E w(z) by numerical integration. */
const expectedSlope = 0.8214;
const expectedSquare = 0.7102;
const expectedWeight = 0.959;

/** `residualSd`: SD of a test of weight 1, consistent at the normal. `noiseFactor`: by how much the variance of a weighted mean is larger than the fit believes. */
export type RobustFit = MixedFit & {
  weights: Float64Array;
  residual: Float64Array;
  fixedPart: Float64Array;
  residualSd: number;
  noiseFactor: number;
};

/** Residuals of a fit and its fixed part X b, row by row. */
const parts = (problem: MixedProblem, fit: MixedFit): { residual: Float64Array; fixedPart: Float64Array } => {
  const n = problem.y.length;
  const fixedPart = new Float64Array(n);
  for (const [j, column] of problem.x.entries()) {
    const beta = fit.beta[j] as number;
    if (!Number.isNaN(beta))
      for (let i = 0; i < n; i++) fixedPart[i] = (fixedPart[i] as number) + beta * (column[i] as number);
  }
  const residual = problem.y.map((value, i) => value - (fixedPart[i] as number));
  for (const [f, factor] of problem.factors.entries()) {
    const blup = fit.effects[f]?.blup as Float64Array;
    for (let i = 0; i < n; i++)
      if ((factor.codes[i] as number) >= 0)
        residual[i] = (residual[i] as number) - (blup[factor.codes[i] as number] as number);
  }
  return { residual, fixedPart };
};

/**
 * REML refitted with Huber weights (k = 1.345) on residuals standardized by their MAD, `rounds` times; weights multiply
 * those given. Only test residuals are bounded, never effects. With no scale (residuals equal but for rounding) weights stay as given.
 */
export const robustFit = (problem: MixedProblem, rounds: number): RobustFit => {
  const given = problem.weights ?? new Float64Array(problem.y.length).fill(1);
  let weights = given;
  let fit = fitMixedModel({ ...problem, weights }, undefined, { isRough: rounds > 0 });
  for (let round = 0; round < rounds && fit.status !== 'too-few-tests'; round++) {
    const { residual } = parts(problem, fit);
    const standardized = residual.map((value, i) => Math.abs(value) * Math.sqrt(given[i] as number));
    const scale = 1.4826 * quantileSorted(Float64Array.from(standardized).sort() as unknown as number[], 0.5);
    if (!(scale > 1e-9)) break;
    weights = given.map(
      (weight, i) => weight * Math.min(1, (huberK * scale) / Math.max(standardized[i] as number, 1e-300)),
    );
    fit =
      round < rounds - 1
        ? fitMixedModel({ ...problem, weights }, fit.theta)
        : fitMixedModel({ ...problem, weights }, undefined, { start: fit.theta });
  }
  const isBounded = weights !== given;
  const noiseFactor = isBounded ? (expectedWeight * expectedSquare) / expectedSlope ** 3 : 1;
  return {
    ...fit,
    ...(isBounded && fit.status !== 'too-few-tests'
      ? noisier({ ...problem, weights }, fit, noiseFactor)
      : {}),
    weights,
    residualSd: isBounded ? fit.sigma / Math.sqrt(expectedSlope) : fit.sigma,
    noiseFactor,
    ...parts(problem, fit),
  };
};

/**
 * Uncertainties of a fit whose rows are noisier by a factor than it believes, its effects as they are: to first order
 * those of the same fit at that noise, as dH/ds = H X'V^-1 W^-1 V^-1 X H for H = (X'V^-1 X)^-1 and V = s W^-1 + Z G Z'.
 */
const noisier = (
  problem: MixedProblem,
  fit: MixedFit,
  factor: number,
): Pick<MixedFit, 'betaCovariance' | 'seBeta' | 'effects'> => {
  const wide = fitMixedModel(
    problem,
    fit.theta.map((value) => value / Math.sqrt(factor)),
  );
  const scale = (Math.sqrt(factor) * fit.sigma) / wide.sigma;
  const scaled = (values: Float64Array): Float64Array => values.map((value) => value * scale);
  return {
    betaCovariance: () => wide.betaCovariance().map((value) => value * scale ** 2),
    seBeta: scaled(wide.seBeta),
    effects: fit.effects.map(({ blup }, f) => {
      const own = wide.effects[f] as MixedFit['effects'][number];
      return { blup, condSd: scaled(own.condSd), condSdFixedKnown: scaled(own.condSdFixedKnown) };
    }),
  };
};
