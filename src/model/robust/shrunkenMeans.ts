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
 * gets a reliability of its own.
 */
export const shrunkenMeans = (
  residual: readonly Float64Array[],
  codes: Int32Array,
  levels: number,
  options: { weights: Float64Array; joint: readonly boolean[] },
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
  const reliability = Float64Array.from(n, (_, g) => reliabilityOf(g, shared));
  const factor = (g: number, k: number): number =>
    options.joint[k]
      ? (reliability[g] as number)
      : reliabilityOf(g, { within: variance[k] as number, between: between[k] as number });
  const sdOf = (g: number, k: number): number =>
    Math.sqrt(Math.max(0, (1 - factor(g, k)) * (between[k] as number)));
  return {
    effect: means.map((mean, k) => mean.map((value, g) => factor(g, k) * value)),
    sd: means.map((mean, k) => mean.map((_, g) => sdOf(g, k))),
    n,
    reliability,
    variance,
    between,
  };
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
