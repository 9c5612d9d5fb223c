import { classOutcomes, lostClasses, type Outcome, outcomes, soldClasses } from '../catalog/outcomes.ts';
import type { LevelEstimate } from './levelEstimates.ts';

/** Mean price of each class, currency per kg of that class; 0 for a class that earns nothing or has no price. */
export type ClassPrices = Partial<Record<Outcome, number>>;

/**
 * Moves the estimates of one id the least they must, each by its own variance, so that class effects add to 0, main + other
 * + lean trim are saleable where all trim counts, and value is the sum of price x class effect. Estimates in points by
 * outcome (value: currency per kg x 100). What an estimate is moved by is the others' word against its own, so its variance
 * grows by the square of it: where each outcome is shrunken by its own prior they need not agree.
 */
export const closeEffects = (
  estimates: readonly LevelEstimate[],
  { isSoldWhole, prices }: { isSoldWhole: boolean; prices: ClassPrices },
): LevelEstimate[] => {
  const mean = Float64Array.from(estimates, (own) => own.mean);
  const at = (outcome: Outcome): number => outcomes.indexOf(outcome);
  const variance = (outcome: Outcome): number => (estimates[at(outcome)] as LevelEstimate).sd ** 2;
  const sum = (group: readonly Outcome[]): number =>
    group.reduce((total, outcome) => total + (mean[at(outcome)] as number), 0);
  /** Spreads `gap` over the group by variance, the last one exactly so that the sum has no rounding left. */
  const spread = (group: readonly Outcome[], gap: number): void => {
    const total = group.reduce((all, outcome) => all + variance(outcome), 0);
    if (!(total > 0)) return;
    for (const outcome of group)
      mean[at(outcome)] = (mean[at(outcome)] as number) + (gap * variance(outcome)) / total;
  };
  if (isSoldWhole) {
    spread(['saleable', ...lostClasses], -(sum(['saleable']) + sum(lostClasses)));
    spread(soldClasses, sum(['saleable']) - sum(soldClasses));
  } else spread(classOutcomes, -sum(classOutcomes));
  mean[at('value')] = classOutcomes.reduce(
    (total, outcome) => total + (prices[outcome] ?? 0) * (mean[at(outcome)] as number),
    0,
  );
  return estimates.map((own, k) => shifted(own, (mean[k] as number) - own.mean));
};

const shifted = (own: LevelEstimate, by: number): LevelEstimate => ({
  ...own,
  mean: own.mean + by,
  sd: Math.hypot(own.sd, by),
  parts: own.parts.map((part) => ({ ...part, mean: part.mean + by, sd: Math.hypot(part.sd, by) })),
});
