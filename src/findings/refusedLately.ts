import type { Chain } from '../catalog/chain.ts';
import type { RefusedFile } from '../ingest/ingested.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import type { ReferenceTables } from '../normalize/normalized.ts';

/**
 * Files refused whole that were first there within the days allowed between tests. One that names no store is given the
 * store of which its path bears the name: as a folder, or as the file's own name.
 */
export const refusedLately = (
  files: readonly RefusedFile[],
  { tests, reference }: { tests: readonly MeasuredTest[]; reference: ReferenceTables },
  chain: Chain,
  asOfDay: number,
): RefusedFile[] => {
  const recent = files.filter((file) => file.seenDay >= asOfDay - chain.freshness.stale_after_days);
  if (recent.length === 0) return [];
  const known = new Map<string, string>();
  for (const { store } of [...reference.stores, ...tests]) known.set(store.toLowerCase(), store);
  return recent.map((file) => {
    if (file.stores.length > 0) return file;
    const names = file.file.replace(/(\.[a-z]+)+$/i, '').split('/');
    const store = names.reverse().flatMap((name) => known.get(name.toLowerCase()) ?? [])[0];
    return store === undefined ? file : { ...file, stores: [store] };
  });
};
