import { normalCdf, normalDensity } from '../../tables/normalDistribution.ts';

const mostRounds = 200;

/**
 * Quantile of a mixture of normals (shares add to 1): Newton steps inside a bracket that is halved where a step leaves it,
 * to 1e-14 of its width; sd 0 is a point.
 */
export const mixtureQuantile = (
  parts: readonly { share: number; mean: number; sd: number }[],
  probability: number,
): number => {
  const known = parts.filter((part) => part.share > 0);
  let low = Math.min(...known.map((part) => part.mean - 9 * part.sd));
  let high = Math.max(...known.map((part) => part.mean + 9 * part.sd));
  const enough = 1e-14 * (high - low);
  let x = (low + high) / 2;
  for (let round = 0; round < mostRounds && high - low > enough; round++) {
    let below = -probability;
    let density = 0;
    for (const { share, mean, sd } of known) {
      if (sd > 0) {
        below += share * normalCdf((x - mean) / sd);
        density += (share / sd) * normalDensity((x - mean) / sd);
      } else if (x >= mean) below += share;
    }
    if (below === 0) break;
    if (below < 0) low = x;
    else high = x;
    const step = below / density;
    const next = x - step;
    const isInside = next > low && next < high;
    x = isInside ? next : (low + high) / 2;
    if (isInside && Math.abs(step) < enough) break;
  }
  return x;
};
