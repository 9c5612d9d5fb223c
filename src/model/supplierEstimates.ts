import { boundedMeans } from './boundedMeans.ts';
import type { LevelEstimate } from './levelEstimates.ts';
import { aboutAverage } from './robust/aboutAverage.ts';
import type { Clusters } from './robust/clusterVariances.ts';

/**
 * Suppliers as they differ from the unweighted mean of the others over all items, by outcome, from residuals in points without
 * store and cutter but with supplier and delivery (`group` = supplier), and the SD of each test. Differences from the average of
 * all S add to 0, so that those from the others are S / (S - 1) times as large, with all of their errors.
 */
export const supplierEstimates = (
  residual: readonly Float64Array[],
  sd: readonly Float64Array[],
  clusters: Clusters,
  levels: number,
): LevelEstimate[][] =>
  residual.map((values, k) => {
    const { center, variance, tests } = boundedMeans(values, sd[k] as Float64Array, clusters, levels);
    const noise = Array.from(variance, (own, g) => new Float64Array(levels).fill(own, g, g + 1));
    const found = aboutAverage(center, noise);
    const apart = levels > 1 ? levels / (levels - 1) : 1;
    return Array.from({ length: levels }, (_, g): LevelEstimate => {
      const mean = apart * (found.mean[g] as number);
      const posterior = apart * Math.sqrt(Math.max(0, found.covariance[g]?.[g] as number));
      const own = apart ** 2 * (variance[g] as number);
      const between = apart ** 2 * found.between;
      const kept = between > 0 ? between / (between + own) : 0;
      return {
        parts: [{ share: 1, mean, sd: posterior }],
        mean,
        sd: posterior,
        difference: kept > 0 ? mean / kept : 0,
        differenceSd: Math.sqrt(own),
        reliability: kept,
        between,
        within: own * (tests[g] as number),
      };
    });
  });
