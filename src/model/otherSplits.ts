import { type LevelEstimate, ofParts } from './levelEstimates.ts';
import type { FactorPosterior } from './mixed/mixtureEffects.ts';
import { chanceOfWide, type MixturePrior } from './robust/mixturePrior.ts';

/** Estimates of people and of rooms, by their levels. */
export type SplitEstimates = { people: LevelEstimate[]; rooms: LevelEstimate[] };

/** A split less likely than this is not worth a word. */
const leastChance = 0.001;

/**
 * What a room and its people have in common can be split in two ways: the room is off and who is not is off the other way, or
 * the room is like the many and those are off who share it. The fit finds one of them; the tests tell the sum of both parts
 * alone. Where a room is an outlier the other way is weighed against it by the priors of all who are in it, and every estimate
 * is the mixture of both. `members`: people by room who cut there alone.
 */
export const otherSplits = (
  { people, rooms }: SplitEstimates,
  [person, room]: readonly [FactorPosterior, FactorPosterior],
  members: readonly (readonly number[])[],
): SplitEstimates => {
  const mixed = { people: [...people], rooms: [...rooms] };
  for (const [r, own] of members.entries()) {
    const gap = room.estimate[r] as number;
    const noise = room.noise[r] as number;
    if (own.length < 2 || !(chanceOfWide(gap, noise, room.prior) > 0.5)) continue;
    const shift = room.mean[r] as number;
    const logOdds = own.reduce(
      (sum, l) => {
        const [at, unsure] = [person.estimate[l] as number, person.noise[l] as number];
        return sum + logDensity(at + shift, unsure, person.prior) - logDensity(at, unsure, person.prior);
      },
      logDensity(gap - shift, noise, room.prior) - logDensity(gap, noise, room.prior),
    );
    const chance = 1 / (1 + Math.exp(-logOdds));
    if (chance < leastChance) continue;
    const spread = Math.sqrt(room.variance[r] as number);
    mixed.rooms[r] = shifted(rooms[r] as LevelEstimate, { by: -shift, chance, spread: 0 });
    for (const l of own) mixed.people[l] = shifted(people[l] as LevelEstimate, { by: shift, chance, spread });
  }
  return mixed;
};

/** Log density of an estimate under its prior and noise; 0 for one that nothing is known of. */
const logDensity = (gap: number, noise: number, { narrow, wide, share }: MixturePrior): number => {
  if (!Number.isFinite(noise)) return 0;
  const density = (variance: number): number => Math.exp((-0.5 * gap * gap) / variance) / Math.sqrt(variance);
  const low = narrow + noise;
  const sum = (1 - share) * density(low) + share * density(low + wide);
  return sum > 0 ? Math.log(sum) : (-0.5 * gap * gap) / (low + wide);
};

/** The estimate with a chance that it lies elsewhere, known there by so much less. */
const shifted = (
  own: LevelEstimate,
  { by, chance, spread }: { by: number; chance: number; spread: number },
): LevelEstimate => {
  const parts = [
    ...own.parts.map((part) => ({ ...part, share: (1 - chance) * part.share })),
    ...own.parts.map((part) => ({
      share: chance * part.share,
      mean: part.mean + by,
      sd: Math.hypot(part.sd, spread),
    })),
  ];
  return { ...own, ...ofParts(parts) };
};
