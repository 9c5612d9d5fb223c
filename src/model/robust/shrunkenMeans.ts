/** Means of groups, shrunken toward 0: per outcome and group the effect and its SD, per group weight n and reliability. */
export type ShrunkenMeans = {
  effect: Float64Array[];
  sd: Float64Array[];
  n: Float64Array;
  reliability: Float64Array;
  variance: Float64Array;
  between: Float64Array;
};

/**
 * Empirical Bayes means of residuals by group, several outcomes at once with ONE reliability per group so that sums over
 * outcomes are kept. residual[k][i], codes[i] (-1 = none), weights[i] in 0-1. Variance within and between groups by the
 * method of moments (DerSimonian & Laird 1986), summed over the outcomes marked in `joint`; an outcome outside `joint`
 * gets a reliability of its own. With `slab` the prior is a mixture: most groups from the narrow normal, a few (5 %) from one
 * twice as wide as single values scatter, so that true outlying groups are not shrunk away.
 */
export const shrunkenMeans = (
  residual: readonly Float64Array[],
  codes: Int32Array,
  levels: number,
  options: { weights: Float64Array; joint: readonly boolean[]; slab?: boolean },
): ShrunkenMeans => {
  const n = groupSums(options.weights, codes, levels);
  const means = residual.map((values) => groupMeans(values, codes, { n, weights: options.weights }));
  const variance = Float64Array.from(residual, (values, k) =>
    within(values, codes, { mean: means[k] as Float64Array, weights: options.weights, n }),
  );
  const between = Float64Array.from(means, (mean, k) => betweenVariance(mean, n, variance[k] as number));
  const total = (values: Float64Array): number =>
    values.reduce((sum, value, k) => (options.joint[k] ? sum + value : sum), 0);
  const shared = { within: total(variance), between: total(between) };
  const reliabilityOf = (g: number, own: { within: number; between: number }): number => {
    const noise = own.within / (n[g] as number);
    return (n[g] as number) > 0 && own.between > 0 ? own.between / (own.between + noise) : 0;
  };
  const plain = (g: number, own: { within: number; between: number }): number => reliabilityOf(g, own);
  const slab = Float64Array.from(n, (_, g) =>
    slabChance(g, { means, n, variance, between, joint: options.joint }),
  );
  const mixed = (g: number, own: { within: number; between: number }): number => {
    const wide = reliabilityOf(g, { within: own.within, between: own.between + slabSpread * own.within });
    return (1 - (slab[g] as number)) * plain(g, own) + (slab[g] as number) * wide;
  };
  const reliability = Float64Array.from(n, (_, g) =>
    options.slab === true ? mixed(g, shared) : plain(g, shared),
  );
  const factor = (g: number, k: number): number => {
    const own = { within: variance[k] as number, between: between[k] as number };
    if (options.joint[k]) return reliability[g] as number;
    return options.slab === true ? mixed(g, own) : plain(g, own);
  };
  const sdOf = (g: number, k: number, mean: number): number => {
    const noise =
      (n[g] as number) > 0 ? Math.sqrt((factor(g, k) * (variance[k] as number)) / (n[g] as number)) : 0;
    const doubt =
      options.slab === true ? Math.sqrt((slab[g] as number) * (1 - (slab[g] as number))) * Math.abs(mean) : 0;
    return Math.hypot(noise || Math.sqrt(between[k] as number), doubt);
  };
  return {
    effect: means.map((mean, k) => mean.map((value, g) => factor(g, k) * value)),
    sd: means.map((mean, k) => mean.map((value, g) => sdOf(g, k, value))),
    n,
    reliability,
    variance,
    between,
  };
};

const slabShare = 0.05;
const slabSpread = 4;
const logDensity = (value: number, variance: number): number =>
  -0.5 * (Math.log(variance) + (value * value) / variance);

/** Chance that a group comes from the wide part of the prior, by its most telling joint outcome (Bayes). */
const slabChance = (
  g: number,
  at: {
    means: readonly Float64Array[];
    n: Float64Array;
    variance: Float64Array;
    between: Float64Array;
    joint: readonly boolean[];
  },
): number => {
  let evidence = Number.NEGATIVE_INFINITY;
  for (const [k, mean] of at.means.entries()) {
    const noise = (at.variance[k] as number) / (at.n[g] as number);
    if (!at.joint[k] || !(noise > 0) || !((at.n[g] as number) >= 2)) continue;
    const narrow = (at.between[k] as number) + noise;
    const wide = narrow + slabSpread * (at.variance[k] as number);
    evidence = Math.max(
      evidence,
      logDensity(mean[g] as number, wide) - logDensity(mean[g] as number, narrow),
    );
  }
  return 1 / (1 + ((1 - slabShare) / slabShare) * Math.exp(-evidence));
};

const groupSums = (values: Float64Array, codes: Int32Array, levels: number): Float64Array => {
  const sums = new Float64Array(levels);
  for (let i = 0; i < codes.length; i++)
    if ((codes[i] as number) >= 0)
      sums[codes[i] as number] = (sums[codes[i] as number] as number) + (values[i] as number);
  return sums;
};

const groupMeans = (
  values: Float64Array,
  codes: Int32Array,
  { n, weights }: { n: Float64Array; weights: Float64Array },
): Float64Array =>
  groupSums(
    values.map((value, i) => value * (weights[i] as number)),
    codes,
    n.length,
  ).map((sum, g) => ((n[g] as number) > 0 ? sum / (n[g] as number) : 0));

const within = (
  values: Float64Array,
  codes: Int32Array,
  { mean, weights, n }: { mean: Float64Array; weights: Float64Array; n: Float64Array },
): number => {
  let squares = 0;
  let weight = 0;
  for (let i = 0; i < codes.length; i++) {
    if ((codes[i] as number) < 0) continue;
    const gap = (values[i] as number) - (mean[codes[i] as number] as number);
    squares += (weights[i] as number) * gap * gap;
    weight += weights[i] as number;
  }
  const freedom = weight - n.filter((sum) => sum > 0).length;
  return freedom > 0 ? squares / freedom : 0;
};

const betweenVariance = (mean: Float64Array, n: Float64Array, noise: number): number => {
  const total = n.reduce((sum, value) => sum + value, 0);
  const squares = n.reduce((sum, value) => sum + value * value, 0);
  const groups = n.filter((value) => value > 0).length;
  if (groups < 3 || total === 0) return 0;
  const center = mean.reduce((sum, value, g) => sum + value * (n[g] as number), 0) / total;
  const spread = mean.reduce((sum, value, g) => sum + (n[g] as number) * (value - center) ** 2, 0);
  return Math.max(0, (spread - (groups - 1) * noise) / (total - squares / total));
};
