const draws = 4000;

/** Uniform numbers in (0, 1) from a fixed seed, the same on every machine: a counter mixed by 32-bit multiplications. */
const uniforms = (seed: number): (() => number) => {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return (((mixed ^ (mixed >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
};

/** Lower factor L of a covariance matrix, L L' = covariance; directions without variance get a zero column. */
const choleskyFactor = (covariance: readonly (readonly number[])[]): number[][] => {
  const n = covariance.length;
  const factor = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  const at = (i: number, j: number): number => (factor[i] as number[])[j] as number;
  for (let j = 0; j < n; j++) {
    const own = (covariance[j] as readonly number[])[j] as number;
    let left = own;
    for (let k = 0; k < j; k++) left -= at(j, k) ** 2;
    if (!(left > 1e-12 * Math.abs(own))) continue;
    const pivot = Math.sqrt(left);
    (factor[j] as number[])[j] = pivot;
    for (let i = j + 1; i < n; i++) {
      let rest = (covariance[i] as readonly number[])[j] as number;
      for (let k = 0; k < j; k++) rest -= at(i, k) * at(j, k);
      (factor[i] as number[])[j] = rest / pivot;
    }
  }
  return factor;
};

/**
 * Chance that each of n jointly normal quantities is the largest: shares of 8,000 draws from a fixed seed in pairs of
 * opposite sign (standard error at most 0.006), ties shared. means: length n; covariance: n x n. One alone is best for sure.
 */
export const chanceBest = (
  means: readonly number[],
  covariance: readonly (readonly number[])[],
): number[] => {
  const n = means.length;
  if (covariance.length !== n) throw new Error(`chanceBest: ${n} means, ${covariance.length} rows`);
  const factor = choleskyFactor(covariance);
  const next = uniforms(20260101);
  const wins = new Array<number>(n).fill(0);
  for (let draw = 0; draw < draws; draw++) {
    const z = means.map(() => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next()));
    const shift = factor.map((row) => row.reduce((sum, value, k) => sum + value * (z[k] as number), 0));
    for (const sign of [1, -1]) {
      const drawn = means.map((mean, i) => mean + sign * (shift[i] as number));
      const best = drawn.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY);
      const first = drawn.flatMap((value, i) => (best - value <= 1e-12 * Math.abs(best) ? [i] : []));
      for (const i of first) wins[i] = (wins[i] as number) + 1 / first.length;
    }
  }
  return wins.map((count) => count / (2 * draws));
};
