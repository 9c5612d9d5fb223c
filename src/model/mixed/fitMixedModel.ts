import { selectedInverse } from '../linalg/selectedInverse.ts';
import { solveUpper } from '../linalg/sparseLdl.ts';
import { type CrossProducts, crossProducts, type MixedProblem } from './crossProducts.ts';
import { minimize } from './minimize.ts';
import {
  type FactoredSystem,
  factorSystem,
  remlCriterion,
  type SystemPattern,
  slotOf,
  systemPattern,
  workspaceOf,
} from './penalizedSystem.ts';

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
};

/**
 * REML fit of y = X b + sum of crossed random intercepts + e (Patterson & Thompson 1971; profiled criterion of Bates et
 * al. 2015). The first factor is eliminated exactly, the others by sparse LDL'. `theta` given: no optimizing. `search`: where
 * to start when something close is known, and whether a rough optimum will do (as between rounds of reweighting).
 */
export const fitMixedModel = (
  problem: MixedProblem,
  theta?: readonly number[],
  search: { start?: readonly number[]; isRough?: boolean } = {},
): MixedFit => {
  const cross = crossProducts(problem);
  const pattern = systemPattern(cross);
  const levels = problem.factors.map((factor) => factor.levels);
  if (cross.n <= cross.p + 1) return noFit(cross, levels);
  const into = workspaceOf(cross, pattern);
  const criterion = (at: readonly number[]): number =>
    remlCriterion(cross, factorSystem(cross, pattern, at, into));
  const found =
    theta === undefined && levels.length > 0
      ? minimize(criterion, search.start?.map((value) => Math.max(value, 0.05)) ?? levels.map(() => 1), {
          isNear: search.start !== undefined,
          isRough: search.isRough === true,
        })
      : { at: [...(theta ?? [])], value: Number.NaN, evaluations: 1, converged: true };
  const system = factorSystem(cross, pattern, found.at, into);
  const sigma = Math.sqrt(system.penalizedResidual / (cross.n - system.rank));
  const fixed = fixedEffects(cross, system, sigma);
  const status: MixedStatus = !found.converged
    ? 'not-converged'
    : system.rank < cross.p
      ? 'rank-deficient'
      : found.at.some((value) => value === 0)
        ? 'singular'
        : 'ok';
  return {
    status,
    counts: { rows: cross.n, columns: cross.p, rank: system.rank, levels },
    theta: found.at,
    sigma,
    criterion: remlCriterion(cross, system),
    evaluations: found.evaluations,
    beta: fixed.reported,
    seBeta: fixed.se,
    betaCovariance: () => covarianceOf(system.fixedFactor, cross.p, sigma),
    ...randomEffects(cross, pattern, system, {
      beta: fixed.beta,
      sigma,
      levels,
      scales: problem.factors.map((factor) => factor.scale),
    }),
  };
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
});

/** Solves R' b = r; aliased columns get 0 inside and NaN in what is reported. */
const fixedEffects = (
  cross: CrossProducts,
  system: FactoredSystem,
  sigma: number,
): { beta: Float64Array; reported: Float64Array; se: Float64Array } => {
  const { p } = cross;
  const lower = system.fixedFactor;
  const isFree = (j: number): boolean => (lower[j * p + j] as number) > 0;
  const beta = new Float64Array(p);
  for (let j = p - 1; j >= 0; j--) {
    let rest = system.fixedRight[j] as number;
    for (let i = j + 1; i < p; i++) rest -= (lower[i * p + j] as number) * (beta[i] as number);
    beta[j] = isFree(j) ? rest / (lower[j * p + j] as number) : 0;
  }
  const unit = (j: number): Float64Array => Float64Array.from({ length: p }, (_, i) => (i === j ? 1 : 0));
  const se = Float64Array.from({ length: p }, (_, j) =>
    isFree(j) ? sigma * Math.sqrt(squaredNorm(lowerSolved(lower, unit(j)))) : Number.NaN,
  );
  return {
    beta,
    se,
    reported: beta.map((value, j) => (isFree(j) ? value + (j === 0 ? cross.center : 0) : Number.NaN)),
  };
};

const covarianceOf = (lower: Float64Array, p: number, sigma: number): Float64Array => {
  const columns = Array.from({ length: p }, (_, j) =>
    (lower[j * p + j] as number) > 0
      ? lowerSolved(
          lower,
          Float64Array.from({ length: p }, (_, i) => (i === j ? 1 : 0)),
        )
      : new Float64Array(p).fill(Number.NaN),
  );
  return Float64Array.from(
    { length: p * p },
    (_, at) =>
      sigma * sigma * dot(columns[Math.floor(at / p)] as Float64Array, columns[at % p] as Float64Array),
  );
};

const lowerSolved = (lower: Float64Array, right: Float64Array): Float64Array => {
  const p = right.length;
  const z = new Float64Array(p);
  for (let i = 0; i < p; i++) {
    let rest = right[i] as number;
    for (let j = 0; j < i; j++) rest -= (lower[i * p + j] as number) * (z[j] as number);
    z[i] = (lower[i * p + i] as number) > 0 ? rest / (lower[i * p + i] as number) : 0;
  }
  return z;
};

const squaredNorm = (values: Float64Array): number => values.reduce((sum, value) => sum + value * value, 0);
const dot = (a: Float64Array, b: Float64Array): number =>
  a.reduce((sum, value, i) => sum + value * (b[i] as number), 0);

type Solved = {
  beta: Float64Array;
  sigma: number;
  levels: number[];
  scales: (Float64Array | undefined)[];
};

const randomEffects = (
  cross: CrossProducts,
  pattern: SystemPattern,
  system: FactoredSystem,
  { beta, sigma, levels, scales }: Solved,
): Pick<MixedFit, 'effects' | 'jointCovariance' | 'restCovariance'> => {
  const { analysis } = pattern;
  const { p } = cross;
  const size = p + 1;
  const inverse = selectedInverse(analysis, system.factor);
  const inverseAt = (slot: number): number =>
    slot < 0 ? (inverse.diagonal[-1 - slot] as number) : (inverse.values[slot] as number);
  const backSolved = (column: Float64Array): Float64Array => {
    const solved = column.map((value, k) => value / (system.factor.pivots[k] as number));
    solveUpper(analysis, system.factor, solved);
    return solved;
  };
  const scaledRest = backSolved(
    (system.reduced[p] as Float64Array).map(
      (value, k) =>
        value - beta.reduce((sum, b, a) => sum + b * ((system.reduced[a] as Float64Array)[k] as number), 0),
    ),
  );
  const gains = system.reduced.slice(0, p).map(backSolved);
  const theta0 = system.theta[0] ?? 0;
  const coupling = (c: number): { level: number; value: number }[] => {
    const list: { level: number; value: number }[] = [];
    for (let a = cross.coupleStart[c] as number; a < (cross.coupleStart[c + 1] as number); a++) {
      const level = cross.coupleRest[a] as number;
      list.push({
        level,
        value:
          theta0 *
          (system.theta[cross.factorOfRest[level] as number] as number) *
          (cross.coupleWeight[a] as number),
      });
    }
    return list;
  };
  const gainOfRest = (l: number): Float64Array =>
    lowerSolved(
      system.fixedFactor,
      Float64Array.from(
        { length: p },
        (_, a) => (gains[a] as Float64Array)[analysis.place[l] as number] as number,
      ),
    );
  const gainOfFirst = (c: number, own: { level: number; value: number }[]): Float64Array =>
    lowerSolved(
      system.fixedFactor,
      Float64Array.from(
        { length: p },
        (_, a) =>
          (theta0 * (cross.firstSums[c * size + a] as number) -
            own.reduce(
              (sum, { level, value }) =>
                sum + value * ((gains[a] as Float64Array)[analysis.place[level] as number] as number),
              0,
            )) /
          (system.firstDiagonal[c] as number),
      ),
    );
  const effects = levels.map(
    (n): FactorEffects => ({
      blup: new Float64Array(n),
      condSd: new Float64Array(n),
      condSdFixedKnown: new Float64Array(n),
    }),
  );
  const sizeOf = (f: number, l: number): number => (system.theta[f] as number) * (scales[f]?.[l] ?? 1);
  const put = (f: number, l: number, value: { scaled: number; known: number; gain: Float64Array }): void => {
    const theta = sizeOf(f, l);
    const own = effects[f] as FactorEffects;
    own.blup[l] = theta * value.scaled;
    own.condSdFixedKnown[l] = sigma * theta * Math.sqrt(value.known);
    own.condSd[l] = sigma * theta * Math.sqrt(value.known + squaredNorm(value.gain));
  };
  for (let c = 0; c < cross.firstLevels; c++) {
    const own = coupling(c);
    const d = system.firstDiagonal[c] as number;
    let scaled =
      theta0 *
      ((cross.firstSums[c * size + p] as number) -
        beta.reduce((sum, b, a) => sum + b * (cross.firstSums[c * size + a] as number), 0));
    for (const { level, value } of own)
      scaled -= value * (scaledRest[analysis.place[level] as number] as number);
    let quadratic = 0;
    let at = pattern.coupleSlotStart[c] as number;
    for (const [a, left] of own.entries())
      for (let b = 0; b <= a; b++)
        quadratic +=
          (a === b ? 1 : 2) *
          left.value *
          (own[b] as { value: number }).value *
          inverseAt(pattern.coupleSlots[at++] as number);
    put(0, c, { scaled: scaled / d, known: 1 / d + quadratic / (d * d), gain: gainOfFirst(c, own) });
  }
  const offsets = levels.slice(1).map((_, f) => levels.slice(1, f + 1).reduce((sum, n) => sum + n, 0));
  for (let l = 0; l < cross.restLevels; l++) {
    const f = cross.factorOfRest[l] as number;
    const place = analysis.place[l] as number;
    put(f, l - (offsets[f - 1] as number), {
      scaled: scaledRest[place] as number,
      known: inverse.diagonal[place] as number,
      gain: gainOfRest(l),
    });
  }
  const jointCovariance = (c: number, f: number, l: number): number => {
    const level = l + (offsets[f - 1] as number);
    const own = coupling(c);
    const known =
      -own.reduce((sum, other) => sum + other.value * inverseAt(slotOf(analysis, other.level, level)), 0) /
      (system.firstDiagonal[c] as number);
    return (
      sigma * sigma * sizeOf(0, c) * sizeOf(f, l) * (known + dot(gainOfFirst(c, own), gainOfRest(level)))
    );
  };
  const restCovariance = ([f, l]: readonly [number, number], [g, m]: readonly [number, number]): number => {
    const [a, b] = [l + (offsets[f - 1] as number), m + (offsets[g - 1] as number)];
    const slot = slotOf(analysis, a, b);
    return Number.isNaN(slot)
      ? Number.NaN
      : sigma * sigma * sizeOf(f, l) * sizeOf(g, m) * (inverseAt(slot) + dot(gainOfRest(a), gainOfRest(b)));
  };
  return { effects, jointCovariance, restCovariance };
};
