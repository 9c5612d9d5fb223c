import { type ClassPrices, closeEffects } from './closeEffects.ts';
import type { FairEffects } from './fairEffects.ts';
import type { LevelEstimate } from './levelEstimates.ts';

/** What is added to the expectations of each item so that a cutter like the many is at 0; closed like effects. By item and outcome. */
export const typicalCenters = (
  found: readonly FairEffects[],
  items: readonly string[],
  { pricesOf, unsold }: { pricesOf: (item: string) => ClassPrices; unsold: ReadonlySet<string> },
): number[][] =>
  items.map((name, code) =>
    closeEffects(
      found.map(({ center, cutterItem }): LevelEstimate => {
        const like = cutterItem[0] as LevelEstimate;
        const mean = center[code] as number;
        const sd = Math.sqrt(like.between + like.within / 100);
        return { ...like, mean, sd, parts: [{ share: 1, mean, sd }] };
      }),
      { isSoldWhole: !unsold.has(name), prices: pricesOf(name) },
    ).map((own) => own.mean / 100),
  );
