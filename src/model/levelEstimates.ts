import type { MixtureEffects } from './mixed/mixtureEffects.ts';
import { chanceOfWide } from './robust/mixturePrior.ts';

/** Posterior of one level as a mixture of two normals, and what it rests on. All in the unit of the residuals. */
export type LevelEstimate = {
  parts: readonly { share: number; mean: number; sd: number }[];
  mean: number;
  sd: number;
  /** Difference seen before shrinking, other effects taken out, and its SD. */
  difference: number;
  differenceSd: number;
  /** 1 - variance / prior variance, for one who is like the many. */
  reliability: number;
  /** Prior variance of the many and variance of one test: what tests needed are counted from. */
  between: number;
  within: number;
};
/**
 * Posterior of own + parent effect as a two-part mixture: the own effect's parts by its prior, the rest given the own
 * effect is normal and the same for both (linear in it).
 */
export const levelEstimates = (
  found: MixtureEffects,
  [own, above]: readonly [number, number?],
  parents: Int32Array | undefined,
  testVariance: Float64Array,
): LevelEstimate[] => {
  const level = found.factors[own] as MixtureEffects['factors'][number];
  const parent = above === undefined ? undefined : found.factors[above];
  return Array.from(level.mean, (_, l): LevelEstimate => {
    const variance = level.variance[l] as number;
    const p = parents?.[l] ?? -1;
    const shared = parent === undefined || above === undefined ? 0 : found.covariance([own, l], [above, p]);
    const slope = 1 + shared / variance;
    const parentMean = parent === undefined ? 0 : (parent.mean[p] as number);
    const parentVariance = parent === undefined ? 0 : (parent.variance[p] as number);
    const total = {
      mean: (level.mean[l] as number) + parentMean,
      variance: variance + 2 * shared + parentVariance,
    };
    const noise = level.noise[l] as number;
    const gap = level.estimate[l] as number;
    const wide = chanceOfWide(gap, noise, level.prior);
    const parts = [level.prior.narrow, level.prior.narrow + level.prior.wide].map((prior, k) => {
      const kept = Number.isFinite(noise) ? prior / (prior + noise) : 0;
      const rest = Math.max(0, total.variance - slope * slope * variance);
      return {
        share: k === 0 ? 1 - wide : wide,
        mean: total.mean + slope * (kept * gap - (level.mean[l] as number)),
        sd: Math.sqrt(rest + slope * slope * prior * (1 - kept)),
      };
    });
    const between = level.prior.narrow + (parent?.prior.narrow ?? 0);
    return {
      ...ofParts(parts),
      difference: gap + parentMean,
      differenceSd: Math.sqrt(noise),
      reliability: Math.max(0, 1 - (parts[0] as { sd: number }).sd ** 2 / between),
      between,
      within: testVariance[l] as number,
    };
  });
};

/** Parts of a posterior with its mean and SD. */
export const ofParts = (parts: LevelEstimate['parts']): Pick<LevelEstimate, 'parts' | 'mean' | 'sd'> => {
  const mean = parts.reduce((sum, part) => sum + part.share * part.mean, 0);
  const square = parts.reduce((sum, part) => sum + part.share * (part.sd ** 2 + part.mean ** 2), 0);
  return { parts, mean, sd: Math.sqrt(Math.max(0, square - mean * mean)) };
};

/** The estimate where an outcome is the same in every test (bone of a boneless item): known to be no difference. */
export const alike: LevelEstimate = {
  parts: [{ share: 1, mean: 0, sd: 0 }],
  mean: 0,
  sd: 0,
  difference: 0,
  differenceSd: 0,
  reliability: 1,
  between: 0,
  within: 0,
};
