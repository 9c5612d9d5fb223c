/** Group codes of one crossed random effect; -1 = the row has none. `scale`: SD of each level relative to the factor's (default 1). */
export type RandomFactor = { codes: Int32Array; levels: number; scale?: Float64Array };

/** y of n rows, X as p columns of n, the random factors (the one with most levels first), weights (default 1). */
export type MixedProblem = {
  y: Float64Array;
  x: readonly Float64Array[];
  factors: readonly RandomFactor[];
  weights?: Float64Array;
};

/** Everything the fit needs to know of the rows; size depends on levels and columns, not on n. */
export type CrossProducts = {
  n: number;
  p: number;
  sumLogWeights: number;
  /** Mean that was taken off y before squaring; 0 unless the first column of X is constant 1. */
  center: number;
  /** Levels of the first factor; the others are numbered on after each other from 0. */
  firstLevels: number;
  restLevels: number;
  /** For each rest level the place of its factor among all factors (1, 2, ...). */
  factorOfRest: Int32Array;
  firstWeight: Float64Array;
  restWeight: Float64Array;
  /** Couplings first x rest, by first level: rest levels and summed weights. */
  couple: Couplings;
  /** Couplings between rest levels of different factors, by the lower level, each pair once. */
  pairs: Couplings;
  /** Weighted sums of [X | y] by level: (p + 1) numbers a level. */
  firstSums: Float64Array;
  restSums: Float64Array;
  /** Lower triangle of the weighted [X | y]'[X | y], (p + 1) squared, row by row. */
  gram: Float64Array;
};

/** Level k is coupled with levels `other` from start[k] to start[k + 1], as rows meet them, by `weight`. */
export type Couplings = { start: Int32Array; other: Int32Array; weight: Float64Array };

/** One pass over the rows, one more by level of each factor. y is centered first when X begins with a constant; X should be (center spline and weight columns before). */
export const crossProducts = (problem: MixedProblem): CrossProducts => {
  const n = problem.y.length;
  const weights = problem.weights ?? new Float64Array(n).fill(1);
  const center = centerOf(problem);
  const [first, ...rest] = problem.factors;
  const offsets = rest.map((_, f) => rest.slice(0, f).reduce((sum, factor) => sum + factor.levels, 0));
  const restLevels = rest.reduce((sum, factor) => sum + factor.levels, 0);
  const numbered = rest.map(({ codes }, f) => ({ codes, offset: offsets[f] as number }));
  const coupled = (factor: RandomFactor, others: typeof numbered): Couplings =>
    couplings(factor, others, { weights, restLevels });
  return {
    n,
    p: problem.x.length,
    center,
    firstLevels: first?.levels ?? 0,
    restLevels,
    factorOfRest: Int32Array.from(rest.flatMap(({ levels }, f) => new Array<number>(levels).fill(f + 1))),
    couple: coupled(first ?? { codes: new Int32Array(0), levels: 0 }, numbered),
    pairs: joined(rest.map((factor, f) => coupled(factor, numbered.slice(f + 1)))),
    ...levelSums(problem, { weights, center, offsets, restLevels }),
  };
};

/** Mean of y where X begins with a constant, else 0. */
const centerOf = ({ y, x }: MixedProblem): number => {
  const hasConstant = x[0]?.every((value) => value === 1) ?? false;
  return y.length > 0 && hasConstant ? y.reduce((sum, value) => sum + value, 0) / y.length : 0;
};

type Sums = Pick<
  CrossProducts,
  'sumLogWeights' | 'firstWeight' | 'restWeight' | 'firstSums' | 'restSums' | 'gram'
>;

const levelSums = (
  { y, x, factors }: MixedProblem,
  {
    weights,
    center,
    offsets,
    restLevels,
  }: { weights: Float64Array; center: number; offsets: readonly number[]; restLevels: number },
): Sums => {
  const p = x.length;
  const size = p + 1;
  const [first, ...rest] = factors;
  const firstWeight = new Float64Array(first?.levels ?? 0);
  const restWeight = new Float64Array(restLevels);
  const firstSums = new Float64Array(firstWeight.length * size);
  const restSums = new Float64Array(restLevels * size);
  const gram = new Float64Array(size * size);
  const row = new Float64Array(size);
  let sumLogWeights = 0;
  for (let i = 0; i < y.length; i++) {
    const w = weights[i] as number;
    sumLogWeights += Math.log(w);
    for (let a = 0; a < p; a++) row[a] = (x[a] as Float64Array)[i] as number;
    row[p] = (y[i] as number) - center;
    for (let a = 0; a < size; a++) {
      const scaled = w * (row[a] as number);
      for (let b = 0; b <= a; b++)
        gram[a * size + b] = (gram[a * size + b] as number) + scaled * (row[b] as number);
    }
    const level = first === undefined ? -1 : (first.codes[i] as number);
    if (level >= 0) addRow(row, w, level, { weight: firstWeight, sums: firstSums });
    for (let f = 0; f < rest.length; f++) {
      const code = (rest[f] as RandomFactor).codes[i] as number;
      if (code >= 0) addRow(row, w, code + (offsets[f] as number), { weight: restWeight, sums: restSums });
    }
  }
  return { sumLogWeights, firstWeight, restWeight, firstSums, restSums, gram };
};

/** Adds one row of weight w to a level; changes `to` (preallocated). */
const addRow = (
  row: Float64Array,
  w: number,
  level: number,
  to: { weight: Float64Array; sums: Float64Array },
): void => {
  to.weight[level] = (to.weight[level] as number) + w;
  const at = level * row.length;
  for (let a = 0; a < row.length; a++) to.sums[at + a] = (to.sums[at + a] as number) + w * (row[a] as number);
};

/** Summed weights of the rows that a level of `factor` shares with levels of the others. */
const couplings = (
  { codes, levels }: RandomFactor,
  others: readonly { codes: Int32Array; offset: number }[],
  { weights, restLevels }: { weights: Float64Array; restLevels: number },
): Couplings => {
  const rows = rowsByLevel(codes, levels);
  const start = new Int32Array(levels + 1);
  const [other, weight]: [number[], number[]] = [[], []];
  const sums = new Float64Array(restLevels);
  const seen = new Int32Array(restLevels).fill(-1);
  for (let level = 0; level < levels; level++) {
    const from = other.length;
    for (let at = rows.start[level] as number; at < (rows.start[level + 1] as number); at++) {
      const i = rows.order[at] as number;
      for (const { codes: theirs, offset } of others) {
        if ((theirs[i] as number) < 0) continue;
        const to = (theirs[i] as number) + offset;
        if (seen[to] !== level) {
          seen[to] = level;
          sums[to] = 0;
          other.push(to);
        }
        sums[to] = (sums[to] as number) + (weights[i] as number);
      }
    }
    for (let at = from; at < other.length; at++) weight.push(sums[other[at] as number] as number);
    start[level + 1] = other.length;
  }
  return { start, other: Int32Array.from(other), weight: Float64Array.from(weight) };
};

/** Rows of each level (those with code -1 left out), by counting. */
const rowsByLevel = (codes: Int32Array, levels: number): { start: Int32Array; order: Int32Array } => {
  const start = new Int32Array(levels + 1);
  for (let i = 0; i < codes.length; i++) {
    const code = codes[i] as number;
    if (code >= 0) start[code + 1] = (start[code + 1] as number) + 1;
  }
  for (let level = 0; level < levels; level++)
    start[level + 1] = (start[level + 1] as number) + (start[level] as number);
  const next = start.slice();
  const order = new Int32Array(start[levels] as number);
  for (let i = 0; i < codes.length; i++) {
    const code = codes[i] as number;
    if (code < 0) continue;
    order[next[code] as number] = i;
    next[code] = (next[code] as number) + 1;
  }
  return { start, order };
};

/** Couplings of one range of levels after another. */
const joined = (parts: readonly Couplings[]): Couplings => {
  const levels = parts.reduce((sum, part) => sum + part.start.length - 1, 0);
  const count = parts.reduce((sum, part) => sum + part.other.length, 0);
  const all: Couplings = {
    start: new Int32Array(levels + 1),
    other: new Int32Array(count),
    weight: new Float64Array(count),
  };
  let [level, at] = [0, 0];
  for (const { start, other, weight } of parts) {
    all.other.set(other, at);
    all.weight.set(weight, at);
    for (let l = 1; l < start.length; l++) all.start[level + l] = at + (start[l] as number);
    level += start.length - 1;
    at += other.length;
  }
  return all;
};
