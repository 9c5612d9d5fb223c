import { middleNearestZero } from '../../tables/middleNearestZero.ts';
import { effectiveVariance, fitMixturePrior, type MixturePrior } from '../robust/mixturePrior.ts';
import type { RandomFactor } from './crossProducts.ts';
import { type MixedFit, type MixedSolver, mixedSolver } from './fitMixedModel.ts';

/** Means of cells with precision 1 / variance, their fixed columns, and the crossed effects behind them; `hasOutliers`: a mixture prior. */
export type CellProblem = {
  mean: Float64Array;
  x: readonly Float64Array[];
  precision: Float64Array;
  factors: readonly (RandomFactor & { hasOutliers: boolean })[];
};

/** One factor's effects under the prior found: normal posterior, and what the data alone say of each level. */
export type FactorPosterior = {
  prior: MixturePrior;
  /** Prior variance of each level, in a normal model that shrinks as the mixture does. */
  shrinking: Float64Array;
  mean: Float64Array;
  variance: Float64Array;
  /** Each level without its own prior: estimate with variance `noise`, all other effects taken as known as they are. */
  estimate: Float64Array;
  noise: Float64Array;
};

export type MixtureEffects = {
  /** Fixed effects: what is common to those who are like the many. */
  beta: Float64Array;
  factors: FactorPosterior[];
  /** Covariance of the errors of levels of two factors that share a cell, [factor, level] each. */
  covariance: (one: readonly [number, number], other: readonly [number, number]) => number;
  rounds: number;
  converged: boolean;
};

const mostRounds = 150;
const settled = 5e-3;
const leastShare = 0.01;
const mostShare = 0.15;
/** The wide part is for true outliers only: were it nearly as narrow as the many, it would take their moderate ones and leave a prior too sharp. */
const leastWide = 4;

/**
 * Crossed random effects with a mixture prior for those factors that have outliers. In turn: a normal fit in which every
 * level has a prior variance of its own; each level's estimate without its own prior; the priors by EM from these; the
 * variance that shrinks each level as the mixture would. `begin` goes on from what was found for the same levels with nearly
 * the same cells.
 */
export const mixtureEffects = (
  problem: CellProblem,
  begin?: Pick<MixtureEffects, 'factors'>,
): MixtureEffects => {
  const scale = spreadOf(problem);
  let priors =
    begin?.factors.map((own) => own.prior) ??
    problem.factors.map((factor) => startPrior(factor.hasOutliers, scale));
  const solver = mixedSolver({
    y: problem.mean,
    x: problem.x,
    factors: problem.factors,
    weights: problem.precision,
  });
  let variances = begin?.factors.map((own) => own.shrinking) ?? startVariances(problem, solver, priors);
  let fitted = solved(solver, variances);
  let moved = Number.POSITIVE_INFINITY;
  let round = 0;
  for (; round < mostRounds && moved > settled; round++) {
    const next = fitted.factors.map((own, f) =>
      fitMixturePrior(own, priors[f] as MixturePrior, {
        narrow: 1e-4 * scale,
        wide: leastWide * Math.max(scale, (priors[f] as MixturePrior).narrow),
        share: problem.factors[f]?.hasOutliers === true ? [leastShare, mostShare] : [0, 0],
      }),
    );
    // half a step in the logarithm: a whole step can swing between a room and its people for ever
    const nextVariances = fitted.factors.map((own, f) =>
      own.estimate.map((gap, l) =>
        Math.sqrt(
          effectiveVariance(gap, own.noise[l] as number, next[f] as MixturePrior) *
            ((variances[f] as Float64Array)[l] as number),
        ),
      ),
    );
    moved = largestMove(variances, nextVariances, scale);
    priors = next;
    variances = nextVariances;
    fitted = solved(solver, variances);
  }
  return {
    factors: fitted.factors.map((own, f) => ({
      ...own,
      prior: priors[f] as MixturePrior,
      shrinking: variances[f] as Float64Array,
    })),
    beta: fitted.beta,
    covariance: fitted.covariance,
    rounds: round,
    converged: moved <= settled,
  };
};

const startVariances = (
  problem: CellProblem,
  solver: MixedSolver,
  priors: readonly MixturePrior[],
): Float64Array[] => {
  const alike = problem.factors.map((factor, f) =>
    new Float64Array(factor.levels).fill((priors[f] as MixturePrior).narrow),
  );
  return startEffects(problem, solved(solver, alike).beta).map((own, f) =>
    own.map((start, l) => Math.max((alike[f] as Float64Array)[l] as number, start * start)),
  );
};

/**
 * Where the search for the effects begins: factors from the last to the second, each level at that middle of what is left
 * of its cells which lies nearest to 0. What the cells of a level share is the level's from the start; begun at 0, a room
 * whose people are all off the same way can end as so many outliers among the people and none among the rooms. Levels of
 * two factors with the very same cells share what they differ by: both begin at 0, as does all of the first factor.
 */
const startEffects = ({ mean, x, factors }: CellProblem, beta: Float64Array): Float64Array[] => {
  const left = mean.map((value, c) =>
    x.reduce((rest, column, k) => rest - (beta[k] as number) * (column[c] as number), value),
  );
  const cells = factors.map(cellsByLevel);
  const keys = cells.map((own) => own.map((level) => level.join()));
  const timesSeen = new Map<string, number>();
  for (const key of keys.flat()) timesSeen.set(key, (timesSeen.get(key) ?? 0) + 1);
  const starts = factors.map((factor) => new Float64Array(factor.levels));
  for (let f = factors.length - 1; f > 0; f--)
    for (const [level, own] of (cells[f] as number[][]).entries()) {
      if (timesSeen.get(keys[f]?.[level] as string) !== 1) continue;
      const start = middleNearestZero(own.map((c) => left[c] as number));
      (starts[f] as Float64Array)[level] = start;
      for (const c of own) left[c] = (left[c] as number) - start;
    }
  return starts;
};

const cellsByLevel = ({ codes, levels }: RandomFactor): number[][] => {
  const cells = Array.from({ length: levels }, (): number[] => []);
  for (const [c, level] of codes.entries()) cells[level]?.push(c);
  return cells;
};

/** Typical squared size of the cell means beyond their noise, from below bounded by a share of the noise. */
const spreadOf = ({ mean, precision }: CellProblem): number => {
  const squares = Float64Array.from(mean, (value) => value * value).sort();
  const noises = Float64Array.from(precision, (value) => 1 / value).sort();
  const middle = (values: Float64Array): number => values[values.length >> 1] ?? 1;
  return Math.max(middle(squares) / 0.455 - middle(noises), 0.5 * middle(noises), 1e-12);
};

const startPrior = (hasOutliers: boolean, scale: number): MixturePrior => ({
  narrow: scale / 4,
  wide: 4 * scale,
  share: hasOutliers ? 0.05 : 0,
});

const largestMove = (last: readonly Float64Array[], next: readonly Float64Array[], scale: number): number => {
  let largest = 0;
  for (const [f, own] of next.entries())
    for (const [l, value] of own.entries()) {
      const before = (last[f] as Float64Array)[l] as number;
      largest = Math.max(largest, Math.abs(value - before) / Math.max(before, value, 0.02 * scale));
    }
  return largest;
};

const solved = (
  solver: MixedSolver,
  variances: readonly Float64Array[],
): Pick<MixtureEffects, 'beta' | 'covariance'> & {
  factors: Omit<FactorPosterior, 'prior' | 'shrinking'>[];
} => {
  // precisions are known, so the error SD is 1, however few cells there are
  const fit = solver.at(
    variances.map(() => 1),
    variances.map((own) => own.map(Math.sqrt)),
    1,
  );
  return {
    beta: fit.beta,
    factors: fit.effects.map((effects, f) => {
      const own = variances[f] as Float64Array;
      const variance = effects.condSd.map((sd) => sd * sd);
      const noise = variance.map((value, l) => {
        const left = 1 / value - 1 / (own[l] as number);
        return left > 1e-9 / (own[l] as number) ? 1 / left : Number.POSITIVE_INFINITY;
      });
      return {
        mean: effects.blup,
        variance,
        noise,
        estimate: effects.blup.map((value, l) =>
          Number.isFinite(noise[l] as number) ? (value * (noise[l] as number)) / (variance[l] as number) : 0,
        ),
      };
    }),
    covariance: (one, other) => covarianceIn(fit, one, other),
  };
};

const covarianceIn = (
  fit: MixedFit,
  one: readonly [number, number],
  other: readonly [number, number],
): number => {
  if (one[0] === 0) return fit.jointCovariance(one[1], other[0], other[1]);
  if (other[0] === 0) return fit.jointCovariance(other[1], one[0], one[1]);
  return fit.restCovariance(one, other);
};
