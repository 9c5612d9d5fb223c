import type { Chain } from '../../catalog/chain.ts';
import { itemNames, shortName } from '../../catalog/itemNames.ts';
import type { StoreStatusRow } from '../../findings/found.ts';
import { contentHash } from '../../system/contentHash.ts';

/** Readable names: of an item (first name in the chain file, then its key) and of a store (its name; its key too where two share it). */
export type Names = { item: (item: string) => string; store: (store: string) => string };

/** Names of a chain's items and stores; what has no name keeps its key. */
export const names = (chain: Pick<Chain, 'items'>, stores: readonly StoreStatusRow[]): Names => {
  const rooms = new Map(stores.map((row) => [row.store, row.name]));
  const bearers = new Map<string, number>();
  for (const { name } of stores) bearers.set(shortName(name), (bearers.get(shortName(name)) ?? 0) + 1);
  return {
    item: itemNames(chain),
    store: (store) => {
      const name = rooms.get(store) ?? '';
      if (name === '' || name === store) return store;
      const isOwn = bearers.get(shortName(name)) === 1 && !rooms.has(name);
      return isOwn ? shortName(name) : `${shortName(name)} (${store})`;
    },
  };
};

/** Letters of a page's name that a file system is sure to take; a longer one is cut and told apart by a hash. */
const mostLetters = 120;

/**
 * File name of a page about `id`: letters, digits and '-' stay, every other UTF-16 unit becomes its number between '_', so
 * that different ids never share a file and no id leaves its folder.
 */
export const pageFile = (kind: string, id: string): string => {
  const name = [...Array(id.length).keys()]
    .map((i) => {
      const letter = id[i] as string;
      return /[A-Za-z0-9-]/.test(letter) ? letter : `_${letter.charCodeAt(0).toString(16)}_`;
    })
    .join('');
  const short = name.length > mostLetters ? `${name.slice(0, 80)}_${contentHash(id).slice(0, 16)}` : name;
  return `${kind}-${short}.html`;
};
