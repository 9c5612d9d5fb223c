import { groupedBy } from '../../tables/groupedBy.ts';
import { normalCdf, z975 } from '../../tables/normalDistribution.ts';

/** How far one member pulls a mean, and what it errs together with. */
export type Influence = { cluster: unknown; size: number };

/**
 * SD of a sum of influences that err together within a cluster (linearized; Cochran 1977 ch. 9, from memory), widened as t
 * limits are with few clusters; of one cluster alone its members stand for themselves.
 */
export const clusteredSd = (influences: readonly Influence[]): number => {
  const clusters = groupedBy(influences, ({ cluster }) => cluster);
  const sums =
    clusters.size > 1
      ? [...clusters.values()].map((own) => own.reduce((sum, { size }) => sum + size, 0))
      : influences.map(({ size }) => size);
  const n = sums.length;
  return asT(n) * Math.sqrt((n / (n - 1)) * sums.reduce((sum, size) => sum + size * size, 0));
};

/** By how much normal limits of n draws are widened to hold as t limits do (Abramowitz & Stegun 26.7.5). */
export const asT = (n: number): number => 1 + (z975 ** 2 + 1) / (4 * (n - 1));

/** Chance of seeing as much as `above` where nothing is above; of what never varies it is 0 or 1. */
export const chanceAtMost = (above: number, sd: number): number =>
  sd > 0 ? normalCdf(-above / sd) : above > 0 ? 0 : 1;
