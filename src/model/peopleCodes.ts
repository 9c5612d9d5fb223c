import { byFrequency } from '../tables/byFrequency.ts';
import { codesOf } from '../tables/columns.ts';
import type { FairEffects, PeopleCodes } from './fairEffects.ts';
import type { LevelEstimate } from './levelEstimates.ts';
import { nul, type TestFacts } from './testFacts.ts';

/** Codes of cutters and stores, alone and with the item, and the name, store and item of each level. */
export type People = {
  codes: PeopleCodes;
  names: Record<keyof PeopleCodes, { id: string; store: string; item: string }[]>;
};

/** Codes and names of the people and rooms of all tests. */
export const peopleCodes = (facts: TestFacts): People => {
  const store = facts.text('store');
  const of = (...names: string[]) => codesOf(facts.join(...names));
  const coded = {
    cutter: of('cutter'),
    store: of('store'),
    cutterItem: of('cutter', 'item'),
    storeItem: of('store', 'item'),
  };
  const names = (key: keyof PeopleCodes) => {
    const stores = mostCommon(store, coded[key]);
    return coded[key].levels.map((level, g) => {
      const [id, item] = level.split(nul) as [string, string?];
      return { id, store: stores[g] as string, item: item ?? '' };
    });
  };
  const codes = (key: keyof PeopleCodes) => ({
    codes: coded[key].codes,
    levels: coded[key].levels.length,
  });
  const each = <T>(make: (key: keyof PeopleCodes) => T): Record<keyof PeopleCodes, T> => ({
    cutter: make('cutter'),
    store: make('store'),
    cutterItem: make('cutterItem'),
    storeItem: make('storeItem'),
  });
  return { codes: each(codes), names: each(names) };
};

/** The store in which each level has most tests; the first by name among equals. */
const mostCommon = (
  store: readonly string[],
  { codes, levels }: { codes: Int32Array; levels: string[] },
): string[] => {
  const own = levels.map((): string[] => []);
  for (const [i, code] of codes.entries()) own[code]?.push(store[i] as string);
  return own.map((stores) => byFrequency(stores)[0] ?? '');
};

/** Effects of each test's own store and cutter on its item, fraction of drained. */
export const testEffects = (
  found: FairEffects,
  codes: PeopleCodes,
): { store: Float64Array; cutter: Float64Array } => {
  const of = (key: keyof PeopleCodes): Float64Array =>
    Float64Array.from(codes[key].codes, (code) => (found[key][code] as LevelEstimate).mean / 100);
  return { store: of('storeItem'), cutter: of('cutterItem') };
};
