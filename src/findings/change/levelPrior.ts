import { normalCdf } from '../../tables/normalDistribution.ts';

/** How people's levels lie about 0: many close together (variance narrow), a share of them far wider (narrow + wide). */
export type LevelPrior = { narrow: number; wide: number; share: number };
/** A level given its tests, as a mixture of two normals. */
export type LevelPosterior = {
  parts: { share: number; mean: number; sd: number }[];
  mean: number;
  sd: number;
};

const rounds = 200;
const settled = 1e-5;
const [leastShare, mostShare] = [0.01, 0.3];

/**
 * Prior of levels from all people's raw means and the variances of those means, by expectation and maximization; a few
 * habits then neither widen the prior of everybody nor are shrunk as if they were luck (Robinson 1991 Statist. Sci. 6:15;
 * mixture as in Louis & Shen 1999 Stat. Med. 18:2493). Fewer than 8 people: one narrow part by moments.
 */
export const levelPrior = (means: readonly number[], noise: readonly number[]): LevelPrior => {
  const n = means.length;
  const squares = means.reduce((sum, value) => sum + value * value, 0) / Math.max(1, n);
  const mean = noise.reduce((sum, value) => sum + value, 0) / Math.max(1, n);
  const moment = Math.max(squares - mean, 0.05 * mean, 1e-12);
  if (n < 8) return { narrow: moment, wide: 0, share: 0 };
  let prior: LevelPrior = { narrow: moment / 3, wide: 8 * moment, share: 0.1 };
  for (let round = 0; round < rounds; round++) {
    const next = improved(prior, means, noise, moment);
    const moved = Math.abs(next.narrow - prior.narrow) + Math.abs(next.wide - prior.wide);
    prior = next;
    if (moved < settled * moment) break;
  }
  return prior;
};

/** One round: each level's chance of being wide and its expected square, by part. Numbers only, as it runs thousands of times. */
const improved = (
  prior: LevelPrior,
  means: readonly number[],
  noise: readonly number[],
  moment: number,
): LevelPrior => {
  const [narrowVariance, wideVariance] = [prior.narrow, prior.narrow + prior.wide];
  let [wideShare, wideSquares, narrowShare, narrowSquares] = [0, 0, 0, 0];
  for (let c = 0; c < means.length; c++) {
    const square = (means[c] as number) ** 2;
    const own = noise[c] as number;
    const [inNarrow, inWide] = [narrowVariance + own, wideVariance + own];
    const odds =
      (prior.share / (1 - prior.share)) *
      Math.sqrt(inNarrow / inWide) *
      Math.exp(0.5 * square * (1 / inNarrow - 1 / inWide));
    const isWide = odds === Number.POSITIVE_INFINITY ? 1 : odds / (1 + odds);
    const [keptNarrow, keptWide] = [narrowVariance / inNarrow, wideVariance / inWide];
    narrowShare += 1 - isWide;
    narrowSquares += (1 - isWide) * (keptNarrow * keptNarrow * square + keptNarrow * own);
    wideShare += isWide;
    wideSquares += isWide * (keptWide * keptWide * square + keptWide * own);
  }
  const narrow = Math.max(1e-3 * moment, narrowSquares / Math.max(narrowShare, 1e-9));
  return {
    narrow,
    // the wide part is to be clearly wider, or it would only copy the narrow one
    wide: Math.max(3 * narrow, wideSquares / Math.max(wideShare, 1e-9) - narrow),
    share: Math.min(mostShare, Math.max(leastShare, wideShare / means.length)),
  };
};

/** Posterior of one level from its raw mean and the variance of that mean (Infinity: nothing seen, the prior itself). */
export const levelPosterior = (mean: number, noise: number, prior: LevelPrior): LevelPosterior => {
  const variances = prior.share > 0 ? [prior.narrow, prior.narrow + prior.wide] : [prior.narrow];
  const shares = prior.share > 0 ? [1 - prior.share, prior.share] : [1];
  const isSeen = Number.isFinite(noise);
  const logs = variances.map((variance, k) =>
    isSeen
      ? Math.log(shares[k] as number) -
        0.5 * Math.log(variance + noise) -
        (0.5 * mean * mean) / (variance + noise)
      : Math.log(shares[k] as number),
  );
  const top = Math.max(...logs);
  const total = logs.reduce((sum, log) => sum + Math.exp(log - top), 0);
  const parts = variances.map((variance, k) => {
    const kept = isSeen ? variance / (variance + noise) : 0;
    return {
      share: Math.exp((logs[k] as number) - top) / total,
      mean: isSeen ? kept * mean : 0,
      sd: Math.sqrt(variance * (1 - kept)),
    };
  });
  const center = parts.reduce((sum, part) => sum + part.share * part.mean, 0);
  const square = parts.reduce((sum, part) => sum + part.share * (part.mean ** 2 + part.sd ** 2), 0);
  return { parts, mean: center, sd: Math.sqrt(Math.max(0, square - center * center)) };
};

/** P(other - level > than) where other is normal and independent of the level. */
export const chanceAbove = (
  level: LevelPosterior,
  other: { mean: number; variance: number },
  than: number,
): number =>
  level.parts.reduce(
    (sum, part) =>
      sum +
      part.share * normalCdf((other.mean - part.mean - than) / Math.sqrt(part.sd * part.sd + other.variance)),
    0,
  );

/** Chance that a level lies farther than `threshold` from 0 on one side. */
export const chanceBeyond = ({ parts }: LevelPosterior, side: 1 | -1, threshold: number): number =>
  parts.reduce((sum, part) => sum + part.share * normalCdf((side * part.mean - threshold) / part.sd), 0);
