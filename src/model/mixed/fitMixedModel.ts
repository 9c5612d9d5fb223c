import { slotOf, solveLower, solveUpper } from '../linalg/sparseLdl.ts';
import { type CrossProducts, crossProducts, type MixedProblem } from './crossProducts.ts';
import { type EffectSolution, type StandardizedLevels, solveEffects } from './effectSolution.ts';
import { minimize, type Sloped } from './minimize.ts';
import {
  type FactoredSystem,
  factorSystem,
  type LevelSds,
  remlCriterion,
  type SystemPattern,
  systemPattern,
  workspaceOf,
} from './penalizedSystem.ts';
import { inverseFromFactor, upperSolved } from './triangular.ts';

export type MixedStatus = 'ok' | 'singular' | 'not-converged' | 'rank-deficient' | 'too-few-tests';

/** Effects of one factor's levels: BLUPs with conditional SDs, with and without the uncertainty of the fixed effects. */
export type FactorEffects = { blup: Float64Array; condSd: Float64Array; condSdFixedKnown: Float64Array };

export type MixedFit = {
  status: MixedStatus;
  counts: { rows: number; columns: number; rank: number; levels: number[] };
  /** Relative standard deviations, one a factor; exactly 0 on the boundary (status `singular`, a result, not an error). */
  theta: number[];
  sigma: number;
  criterion: number;
  evaluations: number;
  /** Fixed effects; NaN for a column that the others already hold. */
  beta: Float64Array;
  seBeta: Float64Array;
  effects: FactorEffects[];
  /** Covariance of the errors of first-factor level c and level l of factor f (1 up), with fixed-effect uncertainty. */
  jointCovariance: (c: number, f: number, l: number) => number;
  /** Covariance of the errors of two levels of later factors (each [f, l], f from 1) that share a row; NaN if the system holds no entry. */
  restCovariance: (one: readonly [number, number], other: readonly [number, number]) => number;
  /** Covariance of the fixed effects, p x p by rows; NaN in aliased rows and columns. */
  betaCovariance: () => Float64Array;
  /**
   * Covariances of the errors of all levels of a later factor f (from 1): with each other, and of each level with the p
   * fixed effects (0 for an aliased one). To be asked before the rows are fitted again by the same solver.
   */
  levelCovariance: (f: number) => { levels: Float64Array[]; fixed: Float64Array[] };
};

/** Where the search for theta starts when something close is known, and whether a rough optimum will do. */
export type Search = { start?: readonly number[]; isRough?: boolean };

/**
 * REML fit of y = X b + sum of crossed random intercepts + e (Patterson & Thompson 1971; profiled criterion of Bates et
 * al. 2015). The first factor is eliminated exactly, the others by sparse LDL'. `theta` given: no optimizing.
 */
export const fitMixedModel = (
  problem: MixedProblem,
  theta?: readonly number[],
  search: Search = {},
): MixedFit => {
  const solver = mixedSolver(problem);
  const scales = problem.factors.map((factor) => factor.scale);
  if (theta !== undefined || scales.length === 0) return solver.at(theta ?? [], scales);
  return solver.best(scales, search);
};

/** Level SDs relative to their factor's theta; undefined = all 1. */
export type Scales = readonly (Float64Array | undefined)[];

/** `at` fits without searching; with the error SD `sigma` known, any number of rows will do. */
export type MixedSolver = {
  at: (theta: readonly number[], scales: Scales, sigma?: number) => MixedFit;
  best: (scales: Scales, search?: Search) => MixedFit;
};

const firstTheta = 0.5;
/** A start on the boundary could not leave it. */
const leastStart = 0.05;

/** Reads the rows once; then fits at any theta and scales (those of the problem's factors are not used). */
export const mixedSolver = (problem: MixedProblem): MixedSolver => {
  const cross = crossProducts(problem);
  const levels = problem.factors.map((factor) => factor.levels);
  const isTooFew = cross.n <= cross.p + 1;
  const pattern = systemPattern(cross);
  const into = workspaceOf(cross, pattern);
  const layout: Layout = { cross, pattern, levels };
  const solvedAt = (theta: readonly number[], scales: Scales): Solved => {
    const system = factorSystem(cross, pattern, levelSds(layout, theta, scales), into);
    return { theta: [...theta], system, solution: solveEffects(cross, pattern, system) };
  };
  return {
    at: (theta, scales, sigma) =>
      isTooFew && sigma === undefined
        ? noFit(cross, levels)
        : fitAt(layout, solvedAt(theta, scales), { evaluations: 1, converged: true }, sigma),
    best: (scales, { start, isRough = false } = {}) => {
      if (isTooFew) return noFit(cross, levels);
      const begin = levels.map((_, f) => Math.max(start?.[f] ?? firstTheta, leastStart));
      let last: Solved | undefined;
      const found = minimize(
        (theta) => {
          last = solvedAt(theta, scales);
          return slopedCriterion(layout, last);
        },
        begin,
        { isRough },
      );
      const isLast = last?.theta.every((value, f) => value === found.at[f]) === true;
      return fitAt(layout, isLast ? (last as Solved) : solvedAt(found.at, scales), found);
    },
  };
};

/** What the workspace holds now: the next factoring ends it. */
type Solved = { theta: number[]; system: FactoredSystem; solution: EffectSolution };

type Layout = { cross: CrossProducts; pattern: SystemPattern; levels: readonly number[] };

const levelSds = ({ cross, pattern, levels }: Layout, theta: readonly number[], scales: Scales): LevelSds => {
  const offsets = offsetsOf(levels);
  return {
    first: Float64Array.from(
      { length: cross.firstLevels },
      (_, c) => (theta[0] as number) * (scales[0]?.[c] ?? 1),
    ),
    rest: Float64Array.from(pattern.analysis.order, (level) => {
      const f = cross.factorOfRest[level] as number;
      return (theta[f] as number) * (scales[f]?.[level - (offsets[f] as number)] ?? 1);
    }),
  };
};

/** Number of the first rest level of each factor; the first factor has none. */
const offsetsOf = (levels: readonly number[]): number[] =>
  levels.map((_, f) => levels.slice(1, f).reduce((sum, n) => sum + n, 0));

/** Criterion and its slope in log theta: 2 (levels - trace of their conditional variances) - 2 (n - rank) |u|^2 / residual. */
const slopedCriterion = (
  { cross, pattern, levels }: Layout,
  { system, solution: { first, rest } }: Solved,
): Sloped => {
  const perSquare = (cross.n - system.rank) / system.penalizedResidual;
  const slope = levels.map(() => 0);
  const curvature = levels.map(() => 0);
  const add = (f: number, own: StandardizedLevels, l: number): void => {
    const gained = 1 - (own.known[l] as number) - (own.added[l] as number);
    slope[f] = (slope[f] as number) + 2 * (gained - perSquare * (own.u[l] as number) ** 2);
    curvature[f] = (curvature[f] as number) + 4 * gained * gained;
  };
  for (let c = 0; c < cross.firstLevels; c++) add(0, first, c);
  for (let k = 0; k < cross.restLevels; k++)
    add(cross.factorOfRest[pattern.analysis.order[k] as number] as number, rest, k);
  return { value: remlCriterion(cross, system), slope, curvature };
};

const noFit = (cross: CrossProducts, levels: number[]): MixedFit => ({
  status: 'too-few-tests',
  counts: { rows: cross.n, columns: cross.p, rank: 0, levels },
  theta: levels.map(() => Number.NaN),
  sigma: Number.NaN,
  criterion: Number.NaN,
  evaluations: 0,
  beta: new Float64Array(cross.p).fill(Number.NaN),
  seBeta: new Float64Array(cross.p).fill(Number.NaN),
  effects: levels.map((n) => ({
    blup: new Float64Array(n),
    condSd: new Float64Array(n).fill(Number.NaN),
    condSdFixedKnown: new Float64Array(n).fill(Number.NaN),
  })),
  jointCovariance: () => Number.NaN,
  restCovariance: () => Number.NaN,
  betaCovariance: () => new Float64Array(cross.p * cross.p).fill(Number.NaN),
  levelCovariance: (f) => ({
    levels: Array.from({ length: levels[f] ?? 0 }, () => new Float64Array(levels[f] ?? 0).fill(Number.NaN)),
    fixed: Array.from({ length: levels[f] ?? 0 }, () => new Float64Array(cross.p).fill(Number.NaN)),
  }),
});

const fitAt = (
  layout: Layout,
  { theta, system, solution }: Solved,
  searched: { evaluations: number; converged: boolean },
  sigma = Math.sqrt(system.penalizedResidual / (layout.cross.n - system.rank)),
): MixedFit => {
  const { cross, levels } = layout;
  const { p } = cross;
  const covariance = inverseFromFactor(system.fixedFactor, p).map((value) => sigma * sigma * value);
  return {
    status: statusOf(cross, system, theta, searched.converged),
    counts: { rows: cross.n, columns: p, rank: system.rank, levels: [...levels] },
    theta: [...theta],
    sigma,
    criterion: remlCriterion(cross, system),
    evaluations: searched.evaluations,
    beta: solution.beta.map((value, j) =>
      Number.isNaN(covariance[j * p + j] as number) ? Number.NaN : value + (j === 0 ? cross.center : 0),
    ),
    seBeta: Float64Array.from({ length: p }, (_, j) => Math.sqrt(covariance[j * p + j] as number)),
    effects: factorEffects(layout, system.sds, solution, sigma),
    ...covariances(layout, { ...system, firstDiagonal: system.firstDiagonal.slice() }, solution, sigma),
    betaCovariance: () => covariance,
    levelCovariance: (f) => levelCovariance(layout, { system, solution, sigma }, f),
  };
};

const levelCovariance = (
  { cross, pattern: { analysis }, levels }: Layout,
  { system, solution, sigma }: Pick<Solved, 'system' | 'solution'> & { sigma: number },
  f: number,
): ReturnType<MixedFit['levelCovariance']> => {
  const { p } = cross;
  const count = levels[f] as number;
  const first = offsetsOf(levels)[f] as number;
  const places = Array.from({ length: count }, (_, l) => analysis.place[first + l] as number);
  const block = new Float64Array(analysis.n * count);
  for (const [l, k] of places.entries()) block[k * count + l] = 1;
  solveLower(analysis, system.factor, block, count);
  for (let k = 0; k < analysis.n; k++) {
    const pivot = system.factor[analysis.rows.length + k] as number;
    for (let l = 0; l < count; l++) block[k * count + l] = (block[k * count + l] as number) / pivot;
  }
  solveUpper(analysis, system.factor, block, count);
  const sdOf = (k: number): number => sigma * (system.sds.rest[k] as number);
  const gains = places.map((k) => solution.rest.gains.slice(k * p, (k + 1) * p));
  return {
    levels: places.map((k, l) =>
      Float64Array.from(places, (other, m) => {
        const added = (gains[l] as Float64Array).reduce(
          (sum, value, a) => sum + value * (gains[m]?.[a] as number),
          0,
        );
        return sdOf(k) * sdOf(other) * ((block[k * count + m] as number) + added);
      }),
    ),
    fixed: places.map((k, l) =>
      upperSolved(system.fixedFactor, gains[l] as Float64Array).map((value) => -sigma * sdOf(k) * value),
    ),
  };
};

const statusOf = (
  cross: CrossProducts,
  system: FactoredSystem,
  theta: readonly number[],
  converged: boolean,
): MixedStatus => {
  if (!converged) return 'not-converged';
  if (system.rank < cross.p) return 'rank-deficient';
  return theta.some((value) => value === 0) ? 'singular' : 'ok';
};

const factorEffects = (
  { cross, pattern, levels }: Layout,
  sds: LevelSds,
  { first, rest }: EffectSolution,
  sigma: number,
): FactorEffects[] => {
  const offsets = offsetsOf(levels);
  return levels.map((n, f) => {
    const [own, sd] = f === 0 ? [first, sds.first] : [rest, sds.rest];
    const at = (l: number): number =>
      f === 0 ? l : (pattern.analysis.place[(offsets[f] as number) + l] as number);
    const filled = (value: (at: number) => number): Float64Array =>
      Float64Array.from({ length: cross.n > 0 ? n : 0 }, (_, l) => value(at(l)));
    return {
      blup: filled((k) => (sd[k] as number) * (own.u[k] as number)),
      condSd: filled(
        (k) => sigma * (sd[k] as number) * Math.sqrt((own.known[k] as number) + (own.added[k] as number)),
      ),
      condSdFixedKnown: filled((k) => sigma * (sd[k] as number) * Math.sqrt(own.known[k] as number)),
    };
  });
};

const covariances = (
  { pattern, levels, cross }: Layout,
  { sds, firstDiagonal }: FactoredSystem,
  { first, rest, inverse }: EffectSolution,
  sigma: number,
): Pick<MixedFit, 'jointCovariance' | 'restCovariance'> => {
  const { analysis, couple } = pattern;
  const { p } = cross;
  const offsets = offsetsOf(levels);
  const added = (a: Float64Array, i: number, b: Float64Array, j: number): number => {
    let sum = 0;
    for (let k = 0; k < p; k++) sum += (a[i * p + k] as number) * (b[j * p + k] as number);
    return sum;
  };
  const inverseAt = (a: number, b: number): number => inverse[slotOf(analysis, a, b)] ?? Number.NaN;
  return {
    jointCovariance: (c, f, l) => {
      const level = (offsets[f] as number) + l;
      const k = analysis.place[level] as number;
      let sum = 0;
      for (let at = couple.start[c] as number; at < (couple.start[c + 1] as number); at++) {
        const other = couple.place[at] as number;
        sum +=
          (sds.rest[other] as number) *
          (couple.weight[at] as number) *
          inverseAt(analysis.order[other] as number, level);
      }
      const known = (-(sds.first[c] as number) * sum) / (firstDiagonal[c] as number);
      return (
        sigma ** 2 *
        (sds.first[c] as number) *
        (sds.rest[k] as number) *
        (known + added(first.gains, c, rest.gains, k))
      );
    },
    restCovariance: ([f, l], [g, m]) => {
      const [a, b] = [(offsets[f] as number) + l, (offsets[g] as number) + m];
      const [j, k] = [analysis.place[a] as number, analysis.place[b] as number];
      return (
        sigma ** 2 *
        (sds.rest[j] as number) *
        (sds.rest[k] as number) *
        (inverseAt(a, b) + added(rest.gains, j, rest.gains, k))
      );
    },
  };
};
