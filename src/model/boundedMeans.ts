import { quantile } from '../tables/quantile.ts';
import { type Clusters, clusterVariances, meanVariances } from './robust/clusterVariances.ts';
import { huberWeight } from './robust/huberLocation.ts';

/** Bounded mean of each group, the variance of its error, and how many tests it has. */
export type BoundedMeans = { center: Float64Array; variance: Float64Array; tests: Float64Array };

const huberK = 1.345;
const rounds = 30;

/**
 * Means of groups over their tests, each test bounded about its own group's location by its own SD (Huber 1964): bounding
 * about what all groups share would shrink every group once more. Variances with what deliveries and stores have in common.
 * Every group has a test.
 */
export const boundedMeans = (
  values: Float64Array,
  sd: Float64Array,
  clusters: Clusters,
  levels: number,
): BoundedMeans => {
  const members: number[][] = Array.from({ length: levels }, () => []);
  for (const [i, g] of clusters.group.entries()) members[g]?.push(i);
  const center = Float64Array.from(members, (rows) => location(rows, values, sd));
  const gap = (i: number): number => {
    const g = clusters.group[i] as number;
    return g < 0 ? 0 : (values[i] as number) - (center[g] as number);
  };
  const weights = values.map((_, i) => weightOf(gap(i), sd[i] as number));
  // of a few tests all may lie beyond the bound; of many most never do
  const inside = weights.reduce((sum, weight) => sum + (weight === 1 ? 1 : 0), 0) / values.length;
  const bounded = values.map((_, i) => ((weights[i] as number) * gap(i)) / Math.max(inside, 0.5));
  const shared = clusterVariances(bounded, clusters);
  const known = members.some((rows) => rows.length > 1)
    ? shared
    : { ...shared, own: sd.reduce((sum, value) => sum + value * value, 0) / sd.length };
  return {
    center,
    variance: meanVariances(known, clusters, levels),
    tests: Float64Array.from(members, (rows) => rows.length),
  };
};

const weightOf = (gap: number, sd: number): number => (sd > 0 ? huberWeight(gap / sd, huberK) : 1);

const location = (rows: readonly number[], values: Float64Array, sd: Float64Array): number => {
  let center = quantile(
    rows.map((i) => values[i] as number),
    0.5,
  );
  for (let round = 0; round < rounds; round++) {
    let [sum, total] = [0, 0];
    for (const i of rows) {
      const weight = weightOf((values[i] as number) - center, sd[i] as number);
      sum += weight * (values[i] as number);
      total += weight;
    }
    center = sum / total;
  }
  return center;
};
