/** Effects seen with noise: estimate[i] with variance noise[i]; not seen = noise not finite. */
export type SeenEffects = { estimate: Float64Array; noise: Float64Array };

/** Most effects from N(0, narrow), a share of them from N(0, narrow + wide). All variances. */
export type MixturePrior = { narrow: number; wide: number; share: number };

export type MixtureLimits = {
  /** Smallest `narrow` and smallest `wide`. */
  narrow: number;
  wide: number;
  /** Bounds of `share`; most 0 = a plain normal prior. */
  share: readonly [least: number, most: number];
};

const mostRounds = 60;
/**
 * A gamma(2) prior on the SD of the many, which takes 1 from their number in the EM step. The likelihood of few levels seen
 * with much noise is often highest at 0, as if nobody differed, and everything told of them would then be too sure; the
 * prior keeps the estimate about one standard error off (Chung, Rabe-Hesketh, Dorie, Gelman & Liu 2013 Psychometrika
 * 78:685, from memory). Of hundreds of levels it changes nothing; of fewer than 5 it would say more than they do.
 */
const awayFromZero = 1;
const fewestForPrior = 5;
/** Largest relative change of a step after which there is no next one. */
const settled = 1e-6;

/**
 * Estimates the prior from the effects themselves by EM (Dempster, Laird & Rubin 1977 JRSSB 39:1), so that a few true
 * outliers are neither shrunk like the many nor set the spread of the many.
 */
export const fitMixturePrior = (
  seen: SeenEffects,
  begin: MixturePrior,
  limits: MixtureLimits,
): MixturePrior => {
  let prior = begin;
  for (let round = 0; round < mostRounds; round++) {
    const next = emStep(seen, prior, limits);
    const moved = Math.max(
      Math.abs(next.narrow / prior.narrow - 1),
      Math.abs(next.wide / prior.wide - 1),
      Math.abs(next.share - prior.share),
    );
    prior = next;
    if (moved < settled) break;
  }
  return prior;
};

/** One EM step; written out (chanceOfWide and second moments) as numbers passed to functions would become garbage. */
const emStep = (seen: SeenEffects, prior: MixturePrior, limits: MixtureLimits): MixturePrior => {
  const low = prior.narrow;
  const high = prior.narrow + prior.wide;
  const priorOdds = prior.share / (1 - prior.share);
  let n = 0;
  let inNarrow = 0;
  let inWide = 0;
  let wideWeight = 0;
  for (let i = 0; i < seen.estimate.length; i++) {
    const noise = seen.noise[i] as number;
    if (!Number.isFinite(noise)) continue;
    const gap = seen.estimate[i] as number;
    const keptLow = low / (low + noise);
    const keptHigh = high / (high + noise);
    // 0 odds stay 0 however far the effect lies (0 x Infinity is not a number)
    const odds =
      priorOdds === 0
        ? 0
        : priorOdds *
          Math.sqrt((low + noise) / (high + noise)) *
          Math.exp(0.5 * gap * gap * (1 / (low + noise) - 1 / (high + noise)));
    const chance = odds === Number.POSITIVE_INFINITY ? 1 : odds / (1 + odds);
    n += 1;
    inNarrow += (1 - chance) * ((keptLow * gap) ** 2 + low * (1 - keptLow));
    inWide += chance * ((keptHigh * gap) ** 2 + high * (1 - keptHigh));
    wideWeight += chance;
  }
  if (n === 0) return prior;
  const many = n - wideWeight - (n < fewestForPrior ? 0 : awayFromZero);
  const narrow = Math.max(inNarrow / Math.max(many, 1e-9), limits.narrow);
  const [least, most] = limits.share;
  return {
    narrow,
    wide: Math.max(inWide / Math.max(wideWeight, 1e-9) - narrow, limits.wide),
    share: Math.min(most, Math.max(least, wideWeight / n)),
  };
};

/** Chance that an effect seen at `gap` comes from the wide part (Bayes, normal densities). */
export const chanceOfWide = (gap: number, noise: number, { narrow, wide, share }: MixturePrior): number => {
  if (share <= 0) return 0;
  if (!Number.isFinite(noise)) return share;
  const low = narrow + noise;
  const high = low + wide;
  const odds =
    (share / (1 - share)) * Math.sqrt(low / high) * Math.exp(0.5 * gap * gap * (1 / low - 1 / high));
  return odds === Number.POSITIVE_INFINITY ? 1 : odds / (1 + odds);
};

/**
 * The prior variance of ONE normal prior that shrinks this effect as the mixture does: what a normal model of many effects
 * can use level by level.
 */
export const effectiveVariance = (gap: number, noise: number, prior: MixturePrior): number => {
  const chance = chanceOfWide(gap, noise, prior);
  const [low, high] = [prior.narrow, prior.narrow + prior.wide];
  if (!Number.isFinite(noise)) return low + chance * prior.wide;
  const kept = (1 - chance) * (low / (low + noise)) + chance * (high / (high + noise));
  return Math.min(high, Math.max(low, (noise * kept) / Math.max(1 - kept, 1e-12)));
};
