import {
  analyzeSparse,
  factorSparse,
  type SparseAnalysis,
  type SparseFactor,
  type SparseScratch,
  solveLower,
  sparseScratch,
} from '../linalg/sparseLdl.ts';
import type { CrossProducts } from './crossProducts.ts';

/** The pattern of the reduced system over the rest levels, found once; slots say where each coupling is added. */
export type SystemPattern = {
  analysis: SparseAnalysis;
  coupleSlots: Int32Array;
  coupleSlotStart: Int32Array;
  pairSlots: Int32Array;
};

/** The factored system at one theta. A = Lambda'Z'WZ Lambda + I; the first factor is eliminated exactly. */
export type FactoredSystem = {
  theta: readonly number[];
  /** d_c = theta_0^2 n_c + 1 by first level. */
  firstDiagonal: Float64Array;
  factor: SparseFactor;
  /** L^-1 of the reduced [X | y] sums, (p + 1) columns of restLevels by place. */
  reduced: Float64Array[];
  /** Lower Cholesky factor of X'V^-1X (p x p by rows), aliased columns marked by a pivot of 0. */
  fixedFactor: Float64Array;
  /** L^-1 X'V^-1y. */
  fixedRight: Float64Array;
  rank: number;
  logDeterminants: number;
  penalizedResidual: number;
};

/** Slot of an entry (i, j) of the lower triangle: at >= 0 in values; -1 - place on the diagonal; NaN when there is none. */
export const slotOf = (analysis: SparseAnalysis, i: number, j: number): number => {
  const [a, b] = [analysis.place[i] as number, analysis.place[j] as number];
  if (a === b) return -1 - a;
  const [row, column] = a > b ? [a, b] : [b, a];
  let low = analysis.start[column] as number;
  let high = (analysis.start[column + 1] as number) - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((analysis.rows[middle] as number) < row) low = middle + 1;
    else high = middle;
  }
  return analysis.rows[low] === row && low < (analysis.start[column + 1] as number) ? low : Number.NaN;
};

/** Orders the rest levels and prepares the slots. */
export const systemPattern = (cross: CrossProducts): SystemPattern => {
  const neighbors = Array.from({ length: cross.restLevels }, () => new Set<number>());
  const join = (a: number, b: number): void => {
    if (a === b) return;
    (neighbors[a] as Set<number>).add(b);
    (neighbors[b] as Set<number>).add(a);
  };
  for (const [k, a] of cross.pairA.entries()) join(a, cross.pairB[k] as number);
  const coupleSlotStart = new Int32Array(cross.firstLevels + 1);
  for (let c = 0; c < cross.firstLevels; c++) {
    const [from, to] = [cross.coupleStart[c] as number, cross.coupleStart[c + 1] as number];
    for (let a = from; a < to; a++)
      for (let b = from; b < a; b++) join(cross.coupleRest[a] as number, cross.coupleRest[b] as number);
    coupleSlotStart[c + 1] = (coupleSlotStart[c] as number) + ((to - from) * (to - from + 1)) / 2;
  }
  const analysis = analyzeSparse(neighbors);
  const coupleSlots = new Int32Array(coupleSlotStart[cross.firstLevels] as number);
  for (let c = 0, at = 0; c < cross.firstLevels; c++) {
    const [from, to] = [cross.coupleStart[c] as number, cross.coupleStart[c + 1] as number];
    for (let a = from; a < to; a++)
      for (let b = from; b <= a; b++)
        coupleSlots[at++] = slotOf(analysis, cross.coupleRest[a] as number, cross.coupleRest[b] as number);
  }
  return {
    analysis,
    coupleSlots,
    coupleSlotStart,
    pairSlots: Int32Array.from(cross.pairA, (a, k) => slotOf(analysis, a, cross.pairB[k] as number)),
  };
};

/** Arrays that one factoring after another may write to; what was factored before in them is lost. */
export type Workspace = {
  scale: Float64Array;
  factor: SparseFactor;
  scratch: SparseScratch;
  sums: Float64Array;
  gram: Float64Array;
  reduced: Float64Array[];
  diagonal: Float64Array;
};

export const workspaceOf = (cross: CrossProducts, { analysis }: SystemPattern): Workspace => ({
  scale: new Float64Array(cross.restLevels),
  factor: {
    values: new Float64Array(analysis.rows.length),
    pivots: new Float64Array(cross.restLevels),
  },
  scratch: sparseScratch(analysis.n),
  sums: new Float64Array(cross.restSums.length),
  gram: new Float64Array(cross.gram.length),
  reduced: Array.from({ length: cross.p + 1 }, () => new Float64Array(cross.restLevels)),
  diagonal: new Float64Array(cross.firstLevels),
});

/**
 * Builds and factors the system at theta (relative standard deviations, one a factor, first factor first), in `into` when
 * given: the result then holds its arrays.
 */
export const factorSystem = (
  cross: CrossProducts,
  pattern: SystemPattern,
  theta: readonly number[],
  into: Workspace = workspaceOf(cross, pattern),
): FactoredSystem => {
  const { analysis } = pattern;
  const size = cross.p + 1;
  const { scale, factor, sums, gram, reduced } = into;
  for (let l = 0; l < scale.length; l++) scale[l] = theta[cross.factorOfRest[l] as number] as number;
  factor.values.fill(0);
  gram.set(cross.gram);
  for (let l = 0, at = 0; l < cross.restLevels; l++)
    for (let a = 0; a < size; a++, at++) sums[at] = (cross.restSums[at] as number) * (scale[l] as number);
  for (let l = 0; l < cross.restLevels; l++)
    factor.pivots[analysis.place[l] as number] =
      (scale[l] as number) ** 2 * (cross.restWeight[l] as number) + 1;
  for (let k = 0; k < pattern.pairSlots.length; k++) {
    const slot = pattern.pairSlots[k] as number;
    factor.values[slot] =
      (factor.values[slot] as number) +
      (scale[cross.pairA[k] as number] as number) *
        (scale[cross.pairB[k] as number] as number) *
        (cross.pairWeight[k] as number);
  }
  const first = eliminateFirst(cross, pattern, { ...into, theta: theta[0] ?? 0 });
  if (!factorSparse(analysis, factor, into.scratch))
    throw new Error(`factorSystem: ${cross.restLevels} levels gave a system that is not positive definite`);
  let logDeterminants = first.logDeterminant;
  for (let l = 0; l < cross.restLevels; l++) logDeterminants += Math.log(factor.pivots[l] as number);
  for (let a = 0; a < size; a++) {
    const column = reduced[a] as Float64Array;
    for (let k = 0; k < column.length; k++)
      column[k] = sums[(analysis.order[k] as number) * size + a] as number;
    solveLower(analysis, factor, column);
  }
  takeOff(gram, reduced, factor.pivots, into.scratch.work);
  const fixed = fixedPart(gram, cross.p);
  return {
    theta,
    firstDiagonal: into.diagonal,
    factor,
    reduced,
    ...fixed,
    logDeterminants: logDeterminants + fixed.logDeterminants,
  };
};

/** Takes the first factor out of `factor`, `sums` and `gram`, and fills `diagonal` (all preallocated). */
const eliminateFirst = (
  cross: CrossProducts,
  pattern: SystemPattern,
  build: Workspace & { theta: number },
): { logDeterminant: number } => {
  const size = cross.p + 1;
  const { theta, scale, factor, sums, gram, diagonal } = build;
  let logDeterminant = 0;
  for (let c = 0; c < cross.firstLevels; c++) {
    const d = theta * theta * (cross.firstWeight[c] as number) + 1;
    diagonal[c] = d;
    logDeterminant += Math.log(d);
    const squared = (theta * theta) / d;
    const from = cross.coupleStart[c] as number;
    const to = cross.coupleStart[c + 1] as number;
    const own = c * size;
    let slotAt = pattern.coupleSlotStart[c] as number;
    for (let a = from; a < to; a++) {
      const level = cross.coupleRest[a] as number;
      const left = squared * (scale[level] as number) * (cross.coupleWeight[a] as number);
      for (let b = from; b <= a; b++) {
        const slot = pattern.coupleSlots[slotAt++] as number;
        const value =
          left * (scale[cross.coupleRest[b] as number] as number) * (cross.coupleWeight[b] as number);
        if (slot >= 0) factor.values[slot] = (factor.values[slot] as number) - value;
        else factor.pivots[-1 - slot] = (factor.pivots[-1 - slot] as number) - value;
      }
      for (let k = 0; k < size; k++)
        sums[level * size + k] =
          (sums[level * size + k] as number) - left * (cross.firstSums[own + k] as number);
    }
    for (let a = 0; a < size; a++) {
      const scaled = squared * (cross.firstSums[own + a] as number);
      for (let b = 0; b <= a; b++)
        gram[a * size + b] = (gram[a * size + b] as number) - scaled * (cross.firstSums[own + b] as number);
    }
  }
  return { logDeterminant };
};

/** Takes the rest levels out of the lower triangle of `gram` (changed); `left` is scratch of as many numbers as pivots. */
const takeOff = (
  gram: Float64Array,
  reduced: readonly Float64Array[],
  pivots: Float64Array,
  left: Float64Array,
): void => {
  const size = reduced.length;
  for (let a = 0; a < size; a++) {
    const own = reduced[a] as Float64Array;
    for (let k = 0; k < left.length; k++) left[k] = (own[k] as number) / (pivots[k] as number);
    for (let b = 0; b <= a; b++) {
      const right = reduced[b] as Float64Array;
      let sum = 0;
      for (let k = 0; k < left.length; k++) sum += (left[k] as number) * (right[k] as number);
      gram[a * size + b] = (gram[a * size + b] as number) - sum;
    }
  }
};

const aliasTolerance = 1e-11;

/** Cholesky of the last block with aliased columns left out (pivot 0); the last pivot is the penalized residual. */
const fixedPart = (
  gram: Float64Array,
  p: number,
): Pick<FactoredSystem, 'fixedFactor' | 'fixedRight' | 'rank' | 'penalizedResidual'> & {
  logDeterminants: number;
} => {
  const size = p + 1;
  const lower = new Float64Array(size * size);
  let rank = 0;
  let logDeterminants = 0;
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let rest = gram[i * size + j] as number;
      for (let k = 0; k < j; k++) rest -= (lower[i * size + k] as number) * (lower[j * size + k] as number);
      const pivot = lower[j * size + j] as number;
      if (i !== j) lower[i * size + j] = pivot > 0 ? rest / pivot : 0;
      else if (i === p) lower[i * size + i] = Math.max(rest, 0);
      else if (rest > aliasTolerance * (gram[i * size + i] as number) && rest > 0) {
        lower[i * size + i] = Math.sqrt(rest);
        rank += 1;
      }
    }
  }
  const fixedFactor = new Float64Array(p * p);
  for (let i = 0; i < p; i++)
    for (let j = 0; j <= i; j++) fixedFactor[i * p + j] = lower[i * size + j] as number;
  for (let i = 0; i < p; i++)
    if ((lower[i * size + i] as number) > 0) logDeterminants += 2 * Math.log(lower[i * size + i] as number);
  return {
    fixedFactor,
    fixedRight: Float64Array.from({ length: p }, (_, j) => lower[p * size + j] as number),
    rank,
    penalizedResidual: lower[p * size + p] as number,
    logDeterminants,
  };
};

/** REML criterion (-2 log restricted likelihood, profiled over sigma): Bates et al. 2015 J. Stat. Softw. 67(1), eq. 41 (from memory). */
export const remlCriterion = (cross: CrossProducts, system: FactoredSystem): number => {
  const freedom = cross.n - system.rank;
  return (
    system.logDeterminants -
    cross.sumLogWeights +
    freedom * (1 + Math.log((2 * Math.PI * system.penalizedResidual) / freedom))
  );
};
