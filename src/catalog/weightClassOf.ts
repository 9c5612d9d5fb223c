import type { Chain } from './chain.ts';
import { itemEntry } from './itemEntry.ts';

/**
 * Name of the buyer's weight class that holds a mean piece weight (in the chain's unit): lower bound in, upper out.
 * Of several entries of one item the one of the test's spec is used, else the first. '' = no class holds it.
 */
export const weightClassOf = (
  chain: Chain,
  bought: { item: string; spec: string },
  pieceWeight: number,
): string =>
  itemEntry(chain, bought)?.weight_classes.find(
    (range) => pieceWeight >= range.from - 1e-9 && !(pieceWeight >= range.to - 1e-9),
  )?.name ?? '';
