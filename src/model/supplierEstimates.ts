import type { LevelEstimate } from './levelEstimates.ts';
import { huberWeights } from './robust/huberWeights.ts';
import { shrunkenMeans } from './robust/shrunkenMeans.ts';

/** Shrunken means of suppliers over all items by outcome, from residuals in points without store and cutter. */
export const supplierEstimates = (
  residual: readonly Float64Array[],
  { codes, levels }: { codes: Int32Array; levels: readonly string[] },
): LevelEstimate[][] =>
  residual.map((values) => {
    const means = shrunkenMeans([values], codes, levels.length, {
      weights: Float64Array.from(huberWeights([...values])),
      joint: [true],
    });
    const [between, within] = [means.between[0] as number, means.variance[0] as number];
    return levels.map((_, g): LevelEstimate => {
      const mean = (means.effect[0] as Float64Array)[g] as number;
      const sd = (means.sd[0] as Float64Array)[g] as number;
      const kept = means.reliability[g] as number;
      return {
        parts: [{ share: 1, mean, sd }],
        mean,
        sd,
        difference: kept > 0 ? mean / kept : 0,
        differenceSd: Math.sqrt(within / (means.n[g] as number)),
        reliability: kept,
        between,
        within,
      };
    });
  });
