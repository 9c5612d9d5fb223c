import type { Chain, ItemEntry } from './chain.ts';

/** The chain file's entry of an item: of several the one of this spec, else the first; undefined when there is none. */
export const itemEntry = (
  chain: Chain,
  { item, spec }: { item: string; spec: string },
): ItemEntry | undefined => {
  const entries = chain.items.filter((entry) => entry.item === item);
  return entries.find((entry) => entry.spec === spec) ?? entries[0];
};
