import {
  analyzeSparse,
  type Cliques,
  factorSparse,
  type SparseAnalysis,
  type SparseEntries,
  type SparseScratch,
  slotAt,
  slotOf,
  solveLower,
  sparseScratch,
} from '../linalg/sparseLdl.ts';
import type { CrossProducts } from './crossProducts.ts';

/** The pattern of the reduced system over the rest levels, found once, with the couplings of the first factor in its order. */
export type SystemPattern = {
  analysis: SparseAnalysis;
  /** As CrossProducts.couple, but rest levels by their places, ascending within a first level. */
  couple: { start: Int32Array; place: Int32Array; weight: Float64Array };
  /** Most couplings of one first level. */
  widest: number;
  /** Slots of pairs of couplings whose column is not full, in the order in which forEachPair meets them. */
  pairedSlots: Int32Array;
  pairSlots: Int32Array;
};

/** Orders the rest levels and prepares the slots. */
export const systemPattern = (cross: CrossProducts): SystemPattern => {
  const { couple, pairs, restLevels } = cross;
  const analysis = analyzeSparse(restLevels, cliquesOf(cross));
  const { place, fullFrom } = analysis;
  const places = new Int32Array(couple.other.length);
  const weight = new Float64Array(couple.other.length);
  const pairedSlots: number[] = [];
  let widest = 0;
  for (let c = 0; c < cross.firstLevels; c++) {
    const [from, to] = [couple.start[c] as number, couple.start[c + 1] as number];
    widest = Math.max(widest, to - from);
    // place and coupling in one number each, so that a native sort orders both
    const keys = new Float64Array(to - from);
    for (let at = from; at < to; at++)
      keys[at - from] = (place[couple.other[at] as number] as number) * (to - from) + (at - from);
    keys.sort();
    for (let k = 0; k < keys.length; k++) {
      const key = keys[k] as number;
      places[from + k] = Math.floor(key / keys.length);
      weight[from + k] = couple.weight[from + (key % keys.length)] as number;
    }
    for (let a = from; a < to; a++)
      if ((places[a] as number) < fullFrom)
        for (let b = a + 1; b < to; b++)
          pairedSlots.push(slotAt(analysis, places[b] as number, places[a] as number));
  }
  const pairSlots = new Int32Array(pairs.other.length);
  for (let l = 0; l < restLevels; l++)
    for (let at = pairs.start[l] as number; at < (pairs.start[l + 1] as number); at++)
      pairSlots[at] = slotOf(analysis, l, pairs.other[at] as number);
  return {
    analysis,
    couple: { start: couple.start, place: places, weight },
    widest,
    pairedSlots: Int32Array.from(pairedSlots),
    pairSlots,
  };
};

/** What is coupled once the first factor is gone: the rest levels of each first level, and each pair of rest levels. */
const cliquesOf = ({ couple, pairs, restLevels }: CrossProducts): Cliques => {
  const [alone, paired] = [couple.other.length, pairs.other.length];
  const start = new Int32Array(couple.start.length + paired);
  const members = new Int32Array(alone + 2 * paired);
  start.set(couple.start);
  members.set(couple.other);
  for (let l = 0; l < restLevels; l++)
    for (let at = pairs.start[l] as number; at < (pairs.start[l + 1] as number); at++) {
      members[alone + 2 * at] = l;
      members[alone + 2 * at + 1] = pairs.other[at] as number;
      start[couple.start.length + at] = alone + 2 * (at + 1);
    }
  return { start, members };
};

/** Relative standard deviation of each level: theta of its factor times its own scale; rest levels by place. */
export type LevelSds = { first: Float64Array; rest: Float64Array };

/** The factored system at one set of level SDs. A = S Z'WZ S + I; the first factor is eliminated exactly. */
export type FactoredSystem = {
  sds: LevelSds;
  /** d_c = sd_c^2 n_c + 1 by first level. */
  firstDiagonal: Float64Array;
  /** L and D of the reduced system. */
  factor: SparseEntries;
  /** L^-1 of the reduced [X | y] sums, p + 1 numbers a place. */
  reduced: Float64Array;
  /** Lower Cholesky factor of X'V^-1X (p x p by rows), aliased columns marked by a pivot of 0. */
  fixedFactor: Float64Array;
  /** L^-1 X'V^-1y. */
  fixedRight: Float64Array;
  rank: number;
  logDeterminants: number;
  penalizedResidual: number;
};

/** Arrays that one factoring after another may write to; what was factored before in them is lost. */
export type Workspace = {
  factor: SparseEntries;
  scratch: SparseScratch;
  reduced: Float64Array;
  gram: Float64Array;
  diagonal: Float64Array;
  scaled: Float64Array;
};

export const workspaceOf = (cross: CrossProducts, { analysis, widest }: SystemPattern): Workspace => ({
  factor: new Float64Array(analysis.rows.length + analysis.n),
  scratch: sparseScratch(analysis.n),
  reduced: new Float64Array(cross.restSums.length),
  gram: new Float64Array(cross.gram.length),
  diagonal: new Float64Array(cross.firstLevels),
  scaled: new Float64Array(widest),
});

/** Builds and factors the system in `into`: the result holds its arrays. Throws where the system is not positive definite (NaN in the rows). */
export const factorSystem = (
  cross: CrossProducts,
  pattern: SystemPattern,
  sds: LevelSds,
  into: Workspace,
): FactoredSystem => {
  const { analysis } = pattern;
  const { factor, reduced, gram, diagonal } = into;
  const size = cross.p + 1;
  placeRest(cross, pattern, sds.rest, into);
  gram.set(cross.gram);
  let logDeterminants = eliminateFirst(cross, pattern, sds, into);
  if (!factorSparse(analysis, factor, into.scratch))
    throw new Error(`factorSystem: ${cross.restLevels} levels gave a system that is not positive definite`);
  const pivots = factor.subarray(analysis.rows.length);
  for (let k = 0; k < pivots.length; k++) logDeterminants += Math.log(pivots[k] as number);
  solveLower(analysis, factor, reduced, size);
  takeOff(gram, reduced, pivots);
  const fixed = fixedPart(gram, cross.p);
  return {
    sds,
    firstDiagonal: diagonal,
    factor,
    reduced,
    ...fixed,
    logDeterminants: logDeterminants + fixed.logDeterminants,
  };
};

/** The rest levels' own block and sums, before the first factor is taken out. */
const placeRest = (
  cross: CrossProducts,
  { analysis, pairSlots }: SystemPattern,
  rest: Float64Array,
  { factor, reduced }: Workspace,
): void => {
  const { place, order } = analysis;
  const { pairs } = cross;
  const size = cross.p + 1;
  factor.fill(0);
  for (let k = 0; k < order.length; k++) {
    const level = order[k] as number;
    const sd = rest[k] as number;
    factor[analysis.rows.length + k] = sd * sd * (cross.restWeight[level] as number) + 1;
    for (let a = 0; a < size; a++) reduced[k * size + a] = sd * (cross.restSums[level * size + a] as number);
  }
  for (let l = 0; l < order.length; l++) {
    const sd = rest[place[l] as number] as number;
    for (let at = pairs.start[l] as number; at < (pairs.start[l + 1] as number); at++) {
      const other = rest[place[pairs.other[at] as number] as number] as number;
      factor[pairSlots[at] as number] = sd * other * (pairs.weight[at] as number);
    }
  }
};

/** Takes the first factor out of the block, sums and gram of `into`, fills its diagonal and returns the log of its determinant. */
const eliminateFirst = (
  cross: CrossProducts,
  pattern: SystemPattern,
  sds: LevelSds,
  { factor, reduced, gram, diagonal, scaled }: Workspace,
): number => {
  const size = cross.p + 1;
  const { couple, pairedSlots } = pattern;
  const { start, fullFrom } = pattern.analysis;
  const below = pattern.analysis.rows.length;
  const { firstSums } = cross;
  let logDeterminant = 0;
  let paired = 0;
  for (let c = 0; c < cross.firstLevels; c++) {
    const sd = sds.first[c] as number;
    const d = sd * sd * (cross.firstWeight[c] as number) + 1;
    diagonal[c] = d;
    logDeterminant += Math.log(d);
    const squared = (sd * sd) / d;
    const from = couple.start[c] as number;
    const count = (couple.start[c + 1] as number) - from;
    for (let b = 0; b < count; b++)
      scaled[b] =
        (sds.rest[couple.place[from + b] as number] as number) * (couple.weight[from + b] as number);
    for (let a = 0; a < count; a++) {
      const at = couple.place[from + a] as number;
      const left = squared * (scaled[a] as number);
      factor[below + at] = (factor[below + at] as number) - left * (scaled[a] as number);
      const base = (start[at] as number) - at - 1;
      if (at < fullFrom)
        for (let b = a + 1; b < count; b++) {
          const slot = pairedSlots[paired++] as number;
          factor[slot] = (factor[slot] as number) - left * (scaled[b] as number);
        }
      else
        for (let b = a + 1; b < count; b++) {
          const slot = base + (couple.place[from + b] as number);
          factor[slot] = (factor[slot] as number) - left * (scaled[b] as number);
        }
      for (let k = 0; k < size; k++)
        reduced[at * size + k] =
          (reduced[at * size + k] as number) - left * (firstSums[c * size + k] as number);
    }
    for (let a = 0; a < size; a++) {
      const left = squared * (firstSums[c * size + a] as number);
      for (let b = 0; b <= a; b++)
        gram[a * size + b] = (gram[a * size + b] as number) - left * (firstSums[c * size + b] as number);
    }
  }
  return logDeterminant;
};

/**
 * v'Kv for each first level, v its couplings times the rest levels' SDs and K the entries given on the pattern of L (the
 * inverse of the reduced system). By first level.
 */
export const coupledSquares = (
  cross: CrossProducts,
  { couple, pairedSlots, analysis, widest }: SystemPattern,
  rest: Float64Array,
  entries: SparseEntries,
): Float64Array => {
  const { start, fullFrom } = analysis;
  const below = analysis.rows.length;
  const scaled = new Float64Array(widest);
  const squares = new Float64Array(cross.firstLevels);
  let paired = 0;
  for (let c = 0; c < cross.firstLevels; c++) {
    const from = couple.start[c] as number;
    const count = (couple.start[c + 1] as number) - from;
    for (let b = 0; b < count; b++)
      scaled[b] = (rest[couple.place[from + b] as number] as number) * (couple.weight[from + b] as number);
    let sum = 0;
    for (let a = 0; a < count; a++) {
      const at = couple.place[from + a] as number;
      const base = (start[at] as number) - at - 1;
      let other = 0;
      if (at < fullFrom)
        for (let b = a + 1; b < count; b++)
          other += (entries[pairedSlots[paired++] as number] as number) * (scaled[b] as number);
      else
        for (let b = a + 1; b < count; b++)
          other += (entries[base + (couple.place[from + b] as number)] as number) * (scaled[b] as number);
      const own = scaled[a] as number;
      sum += own * (own * (entries[below + at] as number) + 2 * other);
    }
    squares[c] = sum;
  }
  return squares;
};

/** Takes the rest levels out of the lower triangle of `gram` (changed). */
const takeOff = (gram: Float64Array, reduced: Float64Array, pivots: Float64Array): void => {
  const size = Math.round(Math.sqrt(gram.length));
  for (let k = 0; k < pivots.length; k++)
    for (let a = 0; a < size; a++) {
      const left = (reduced[k * size + a] as number) / (pivots[k] as number);
      for (let b = 0; b <= a; b++)
        gram[a * size + b] = (gram[a * size + b] as number) - left * (reduced[k * size + b] as number);
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
