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
  coupleStart: Int32Array;
  coupleRest: Int32Array;
  coupleWeight: Float64Array;
  /** Couplings between rest levels of different factors, each pair once. */
  pairA: Int32Array;
  pairB: Int32Array;
  pairWeight: Float64Array;
  /** Weighted sums of [X | y] by level: (p + 1) numbers a level. */
  firstSums: Float64Array;
  restSums: Float64Array;
  /** Weighted [X | y]'[X | y], (p + 1) squared, row by row. */
  gram: Float64Array;
};

/** One pass over the rows. y is centered first when X begins with a constant; X should be (center spline and weight columns before). */
export const crossProducts = (problem: MixedProblem): CrossProducts => {
  const n = problem.y.length;
  const p = problem.x.length;
  const weights = problem.weights ?? new Float64Array(n).fill(1);
  const center = centerOf(problem);
  const columns = [...problem.x, problem.y.map((value) => value - center)];
  const [first, ...rest] = problem.factors;
  const firstLevels = first?.levels ?? 0;
  const offsets = rest.map((_, f) => rest.slice(0, f).reduce((sum, factor) => sum + factor.levels, 0));
  const restLevels = rest.reduce((sum, factor) => sum + factor.levels, 0);
  const factorOfRest = Int32Array.from(
    rest.flatMap((factor, f) => new Array<number>(factor.levels).fill(f + 1)),
  );
  const couple = new Map<number, number>();
  const pairs = new Map<number, number>();
  const firstWeight = new Float64Array(firstLevels);
  const restWeight = new Float64Array(restLevels);
  const firstSums = new Float64Array(firstLevels * (p + 1));
  const restSums = new Float64Array(restLevels * (p + 1));
  const gram = new Float64Array((p + 1) * (p + 1));
  const row = new Float64Array(p + 1);
  const here = new Int32Array(rest.length);
  const hereScale = new Float64Array(rest.length);
  let sumLogWeights = 0;
  for (let i = 0; i < n; i++) {
    const w = weights[i] as number;
    sumLogWeights += Math.log(w);
    for (let a = 0; a <= p; a++) row[a] = (columns[a] as Float64Array)[i] as number;
    addGram(gram, row, w);
    const c = first === undefined ? -1 : (first.codes[i] as number);
    const zFirst = c < 0 ? 0 : (first?.scale?.[c] ?? 1);
    if (c >= 0) addLevel(c, row, { w, z: zFirst }, { weight: firstWeight, sums: firstSums });
    for (let f = 0; f < rest.length; f++) {
      const code = (rest[f] as RandomFactor).codes[i] as number;
      const level = code < 0 ? -1 : code + (offsets[f] as number);
      here[f] = level;
      if (level < 0) continue;
      const z = (rest[f] as RandomFactor).scale?.[code] ?? 1;
      hereScale[f] = z;
      addLevel(level, row, { w, z }, { weight: restWeight, sums: restSums });
      if (c >= 0) addTo(couple, c * restLevels + level, w * z * zFirst);
      for (let g = 0; g < f; g++)
        if ((here[g] as number) >= 0)
          addTo(pairs, (here[g] as number) * restLevels + level, w * z * (hereScale[g] as number));
    }
  }
  return {
    n,
    p,
    sumLogWeights,
    center,
    firstLevels,
    restLevels,
    factorOfRest,
    firstWeight,
    restWeight,
    firstSums,
    restSums,
    gram,
    ...coupleArrays(couple, firstLevels, restLevels),
    ...pairArrays(pairs, restLevels),
  };
};

/** Mean of y where X begins with a constant, else 0. */
const centerOf = ({ y, x }: MixedProblem): number => {
  const hasConstant = x[0]?.every((value) => value === 1) ?? false;
  return y.length > 0 && hasConstant ? y.reduce((sum, value) => sum + value, 0) / y.length : 0;
};

const addGram = (gram: Float64Array, row: Float64Array, w: number): void => {
  const size = row.length;
  for (let a = 0; a < size; a++) {
    const scaled = w * (row[a] as number);
    for (let b = 0; b < size; b++)
      gram[a * size + b] = (gram[a * size + b] as number) + scaled * (row[b] as number);
  }
};

const addTo = (map: Map<number, number>, key: number, value: number): void => {
  map.set(key, (map.get(key) ?? 0) + value);
};

/** Adds one row of weight w to a level whose column of Z holds z there; changes `to` (preallocated). */
const addLevel = (
  level: number,
  row: Float64Array,
  { w, z }: { w: number; z: number },
  to: { weight: Float64Array; sums: Float64Array },
): void => {
  to.weight[level] = (to.weight[level] as number) + w * z * z;
  const at = level * row.length;
  for (let a = 0; a < row.length; a++)
    to.sums[at + a] = (to.sums[at + a] as number) + w * z * (row[a] as number);
};

const sortedKeys = (map: ReadonlyMap<number, number>): Float64Array => Float64Array.from(map.keys()).sort();

const coupleArrays = (
  couple: ReadonlyMap<number, number>,
  firstLevels: number,
  restLevels: number,
): Pick<CrossProducts, 'coupleStart' | 'coupleRest' | 'coupleWeight'> => {
  const keys = sortedKeys(couple);
  const coupleStart = new Int32Array(firstLevels + 1);
  for (const key of keys)
    coupleStart[Math.floor(key / restLevels) + 1] =
      (coupleStart[Math.floor(key / restLevels) + 1] as number) + 1;
  for (let c = 0; c < firstLevels; c++)
    coupleStart[c + 1] = (coupleStart[c + 1] as number) + (coupleStart[c] as number);
  return {
    coupleStart,
    coupleRest: Int32Array.from(keys, (key) => key % restLevels),
    coupleWeight: Float64Array.from(keys, (key) => couple.get(key) as number),
  };
};

const pairArrays = (
  pairs: ReadonlyMap<number, number>,
  restLevels: number,
): Pick<CrossProducts, 'pairA' | 'pairB' | 'pairWeight'> => {
  const keys = sortedKeys(pairs);
  return {
    pairA: Int32Array.from(keys, (key) => Math.floor(key / restLevels)),
    pairB: Int32Array.from(keys, (key) => key % restLevels),
    pairWeight: Float64Array.from(keys, (key) => pairs.get(key) as number),
  };
};
