import type { Chain } from '../catalog/chain.ts';
import type { RefusedFile } from '../ingest/ingested.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import type { ReferenceTables } from '../normalize/normalized.ts';

/**
 * Files refused whole that were first there within the days allowed between tests, with the stores they are of: those they
 * name, else the one that their path names. Capitals do not matter where only one store can be meant; between two stores
 * nothing is guessed.
 */
export const refusedLately = (
  files: readonly RefusedFile[],
  { tests, reference }: { tests: readonly MeasuredTest[]; reference: ReferenceTables },
  chain: Chain,
  asOfDay: number,
): RefusedFile[] => {
  const recent = files.filter((file) => file.seenDay >= asOfDay - chain.freshness.stale_after_days);
  if (recent.length === 0) return [];
  const stores = [...new Set([...reference.stores, ...tests].map(({ store }) => store))];
  const named = storeCalled(stores);
  const onPath = storeOnPath([
    ...stores.map((store) => ({ store, name: store })),
    ...reference.stores.filter(({ name }) => name !== ''),
  ]);
  return recent.map((file) => {
    if (file.stores.length > 0) return { ...file, stores: [...new Set(file.stores.map(named))] };
    const store = onPath(file.file);
    return store === undefined ? file : { ...file, stores: [store] };
  });
};

/** Finds the store that a text names, letter by letter or but for its capitals; the text itself where none or two are meant. */
const storeCalled = (stores: readonly string[]): ((text: string) => string) => {
  const meant = new Map<string, string[]>();
  for (const store of stores)
    meant.set(store.toLowerCase(), [...(meant.get(store.toLowerCase()) ?? []), store]);
  return (text) => {
    const [only, ...others] = meant.get(text.toLowerCase()) ?? [];
    return only === undefined || others.length > 0 ? text : only;
  };
};

/** A name that tells a store among other words: a number or a single letter may mean anything. */
const isTelling = (name: string): boolean => /\p{L}/u.test(name) && name.length >= 3;

/**
 * Finds the one store of which a path bears the key or the name: as a folder or the file's own name, else within them, between
 * other words; undefined where there is none or more than one.
 */
const storeOnPath = (
  known: readonly { store: string; name: string }[],
): ((path: string) => string | undefined) => {
  const names = known.map(({ store, name }) => ({ store, name: name.toLowerCase() }));
  const telling = names.filter(({ name }) => isTelling(name));
  const only = (found: readonly { store: string }[]): string | undefined => {
    const [first, ...others] = new Set(found.map(({ store }) => store));
    return others.length > 0 ? undefined : first;
  };
  return (path) => {
    const plain = path.toLowerCase().replace(/(\.[a-z]+)+$/, '');
    const parts = plain.split('/');
    const whole = names.filter(({ name }) => parts.includes(name));
    if (whole.length > 0) return only(whole);
    const within = telling.filter(({ name }) => isWithin(plain, name));
    return only(
      within.filter(({ name }) => !within.some((one) => one.name !== name && isWithin(one.name, name))),
    );
  };
};

/** Whether a text holds a name between signs or blanks. */
const isWithin = (text: string, name: string): boolean => {
  for (let at = text.indexOf(name); at >= 0; at = text.indexOf(name, at + 1)) {
    const [before, after] = [text.slice(0, at), text.slice(at + name.length)];
    if (!/[\p{L}\p{N}]$/u.test(before) && !/^[\p{L}\p{N}]/u.test(after)) return true;
  }
  return false;
};
