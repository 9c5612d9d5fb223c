import { selectedInverse } from '../linalg/selectedInverse.ts';
import { type SparseEntries, solveUpper } from '../linalg/sparseLdl.ts';
import type { CrossProducts } from './crossProducts.ts';
import { coupledSquares, type FactoredSystem, type SystemPattern } from './penalizedSystem.ts';
import { lowerSolved, upperSolved } from './triangular.ts';

/** Standardized effects u of some levels (effect = SD of the level times u), in units of the error SD where a variance. */
export type StandardizedLevels = {
  u: Float64Array;
  /** Conditional variance with the fixed effects known, and what their estimation adds. */
  known: Float64Array;
  added: Float64Array;
  /** p numbers a level; dot products of two levels' gains are what estimation adds to their covariance. */
  gains: Float64Array;
};

/** Solution of the factored system. First levels in their order, rest levels by place. */
export type EffectSolution = {
  /** Fixed effects, 0 for an aliased column. */
  beta: Float64Array;
  first: StandardizedLevels;
  rest: StandardizedLevels;
  /** Inverse of the reduced system on the pattern of L. */
  inverse: SparseEntries;
};

/** Fixed effects, effects and their variances (Henderson 1975 Biometrics 31:423; diagonals by the selected inverse). */
export const solveEffects = (
  cross: CrossProducts,
  pattern: SystemPattern,
  system: FactoredSystem,
): EffectSolution => {
  const { analysis } = pattern;
  const size = cross.p + 1;
  const beta = upperSolved(system.fixedFactor, system.fixedRight);
  const block = Float64Array.from(system.reduced);
  for (let k = 0; k < analysis.n; k++) {
    const pivot = system.factor[analysis.rows.length + k] as number;
    for (let a = 0; a < size; a++) block[k * size + a] = (block[k * size + a] as number) / pivot;
  }
  solveUpper(analysis, system.factor, block, size);
  const inverse = selectedInverse(analysis, system.factor);
  const rest = standardized(block, beta, system.fixedFactor);
  rest.known.set(inverse.subarray(analysis.rows.length));
  const first = standardized(firstBlock(cross, pattern, system, block), beta, system.fixedFactor);
  const squares = coupledSquares(cross, pattern, system.sds.rest, inverse);
  for (let c = 0; c < cross.firstLevels; c++) {
    const d = system.firstDiagonal[c] as number;
    first.known[c] = 1 / d + ((system.sds.first[c] as number) / d) ** 2 * (squares[c] as number);
  }
  return { beta, first, rest, inverse };
};

/** The first levels' part of A^-1 S [X | y]' W Z, p + 1 numbers a level, from that of the rest levels. */
const firstBlock = (
  cross: CrossProducts,
  { couple }: SystemPattern,
  { sds, firstDiagonal }: FactoredSystem,
  rest: Float64Array,
): Float64Array => {
  const size = cross.p + 1;
  const block = Float64Array.from(cross.firstSums);
  for (let c = 0; c < cross.firstLevels; c++) {
    for (let at = couple.start[c] as number; at < (couple.start[c + 1] as number); at++) {
      const k = couple.place[at] as number;
      const left = (sds.rest[k] as number) * (couple.weight[at] as number);
      for (let a = 0; a < size; a++)
        block[c * size + a] = (block[c * size + a] as number) - left * (rest[k * size + a] as number);
    }
    const share = (sds.first[c] as number) / (firstDiagonal[c] as number);
    for (let a = 0; a < size; a++) block[c * size + a] = share * (block[c * size + a] as number);
  }
  return block;
};

/** u, gains and what they add, of levels with p + 1 numbers each of A^-1 S [X | y]' W Z; `known` is left to be filled. */
const standardized = (
  block: Float64Array,
  beta: Float64Array,
  fixedFactor: Float64Array,
): StandardizedLevels => {
  const p = beta.length;
  const levels = block.length / (p + 1);
  const u = new Float64Array(levels);
  const added = new Float64Array(levels);
  const gains = new Float64Array(levels * p);
  const gain = new Float64Array(p);
  for (let l = 0; l < levels; l++) {
    let own = block[l * (p + 1) + p] as number;
    for (let a = 0; a < p; a++) {
      gain[a] = block[l * (p + 1) + a] as number;
      own -= (beta[a] as number) * (gain[a] as number);
    }
    u[l] = own;
    lowerSolved(fixedFactor, gain);
    gains.set(gain, l * p);
    let sum = 0;
    for (let a = 0; a < p; a++) sum += (gain[a] as number) ** 2;
    added[l] = sum;
  }
  return { u, known: new Float64Array(levels), added, gains };
};
