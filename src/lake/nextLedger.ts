import type { NewFile } from './lakeRows.ts';
import type { LakeManifest, LedgerEntry } from './ledger.ts';

/**
 * A file that brings what a file known under another path brings (same bytes, read the same way) adds nothing. One that was
 * refused whole brings nothing: under another name the same bytes may be right.
 */
export const copiesMarked = (files: readonly NewFile[], known: readonly LedgerEntry[]): NewFile[] => {
  const read = known.filter((file) => file.state === 'ingested');
  const first = new Map(read.map((file) => [file.batch, file.path]));
  return files.map((file) => {
    const { batch, path, state } = file.entry;
    if (state === 'quarantined') return { ...file, entry: { ...file.entry, batch: `${batch}-refused` } };
    const original = first.get(batch) ?? path;
    first.set(batch, original);
    return original === path
      ? file
      : {
          entry: { ...file.entry, batch: `${batch}-copy`, state: 'duplicate-file', rejects: [] },
          versions: { ...file.versions, count: 0 },
          portions: [],
        };
  });
};

/** The batch as its bytes and settings name it, whatever became of the file. */
export const plainBatch = (batch: string): string => batch.replace(/-(?:copy|refused)$/, '');

/** The ledger with the new files; an entry of the same bytes and path gives way. */
export const nextLedger = (manifest: LakeManifest, fresh: readonly NewFile[]): LakeManifest => {
  const replaced = new Set(fresh.map((file) => `${file.entry.sha256} ${file.entry.path}`));
  return {
    ...manifest,
    generation: manifest.generation + 1,
    files: [
      ...manifest.files.filter((file) => !replaced.has(`${file.sha256} ${file.path}`)),
      ...fresh.map((file) => file.entry),
    ],
  };
};

/** The ledger as it was known on a day. */
export const filesKnown = (files: readonly LedgerEntry[], asOfDay: number): LedgerEntry[] =>
  files.flatMap(({ movedDay, ...file }) => {
    if (file.firstSeenDay > asOfDay) return [];
    return [movedDay === undefined || movedDay > asOfDay ? file : { ...file, movedDay }];
  });

/** The ledger with the day on which reference tables were no longer found in the inbox. */
export const movedMarked = (
  files: readonly LedgerEntry[],
  there: ReadonlySet<string>,
  asOfDay: number,
): LedgerEntry[] =>
  files.map((file) =>
    file.movedDay === undefined && file.rejects[0]?.code === 'table-misplaced' && !there.has(file.path)
      ? { ...file, movedDay: asOfDay }
      : file,
  );

/** Whether two ledgers say the same, generations apart. */
export const isSameLedger = (a: LakeManifest, b: LakeManifest): boolean =>
  JSON.stringify({ ...a, generation: 0 }) === JSON.stringify({ ...b, generation: 0 });

/** Rows of a file that the lake holds for its tests, in force or not: those not refused when read, less those let go. */
export const rowsHeld = ({ state, rowsRead, blank, ignored, rejected, letGo = 0 }: LedgerEntry): number =>
  state === 'ingested' ? rowsRead - blank - ignored - rejected - letGo : 0;

/** Latest day that the lake knows; -Infinity of an empty one. A night for an earlier day is a rerun: it takes in nothing new. */
export const latestDayOf = ({ latestDay, files, reference = [] }: LakeManifest): number => {
  let latest = latestDay ?? Number.NEGATIVE_INFINITY;
  for (const { firstSeenDay } of files) latest = Math.max(latest, firstSeenDay);
  for (const { seenDay } of reference) latest = Math.max(latest, seenDay);
  return latest;
};
