import type { RefusedFile, Reject } from '../ingest/ingested.ts';
import { byCodeUnit } from '../tables/byCodeUnit.ts';
import { byFrequency } from '../tables/byFrequency.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import type { LedgerEntry } from './ledger.ts';

const isLater = (a: LedgerEntry, b: LedgerEntry): boolean =>
  a.firstSeenDay > b.firstSeenDay || (a.firstSeenDay === b.firstSeenDay && a.modifiedMs >= b.modifiedMs);

/** A file with the faults of its rows that are still owed; `owed`: how many rows these are. */
export type OpenFile = { file: LedgerEntry; rejects: Reject[]; owed: number };

/**
 * Files whose refused rows are not all settled: not those of which newer bytes were sent under the same path, those refused
 * whole whose bytes were taken under another, or reference tables that were taken out of the inbox. A row is settled that
 * came back in the rejects file, whatever is wrong with it then: that stands with the file that came back. A rejects file
 * without its column `line` settles all or nothing, by its number of rows.
 */
export const openFiles = (files: readonly LedgerEntry[]): OpenFile[] => {
  const last = new Map<string, LedgerEntry>();
  for (const file of files) {
    const known = last.get(file.path);
    if (known === undefined || isLater(file, known)) last.set(file.path, file);
  }
  const taken = new Set(files.flatMap((file) => (file.state === 'ingested' ? [file.sha256] : [])));
  const backOf = groupedBy(files, (file) => file.path.replace(/\.rejects\.csv$/i, ''));
  return files.flatMap((file): OpenFile[] => {
    if (last.get(file.path) !== file || file.movedDay !== undefined) return [];
    if (file.state === 'quarantined' && taken.has(file.sha256)) return [];
    const back = (backOf.get(file.path) ?? []).filter((one) => one.path !== file.path && isLater(one, file));
    if (back.some((one) => one.mendedLines === undefined && rowsOf(one) >= file.rejected)) return [];
    const settled = new Set(back.flatMap((one) => one.mendedLines ?? []));
    const rejects = file.rejects.filter((reject) => !settled.has(reject.sourceLine));
    if (file.rejects.length > 0 && rejects.length === 0) return [];
    const lines = new Set(rejects.map((reject) => reject.sourceLine)).size;
    return [{ file, rejects, owed: file.state === 'quarantined' ? lines * file.rejected : lines }];
  });
};

/** Rows of a file that could be read at all. */
const rowsOf = ({ state, rowsRead, blank, ignored }: LedgerEntry): number =>
  state === 'ingested' ? rowsRead - blank - ignored : 0;

/** The open files of which no row was taken, newest first. */
export const refusedFiles = (files: readonly OpenFile[]): RefusedFile[] =>
  files
    .flatMap(({ file: { path, sender, refusedStores, firstSeenDay, rowsRead }, rejects }) => {
      const reject = mostFrequent(rejects);
      return refusedStores === undefined || reject === undefined
        ? []
        : [{ file: path, sender, stores: refusedStores, seenDay: firstSeenDay, rows: rowsRead, reject }];
    })
    .sort((a, b) => b.seenDay - a.seenDay || byCodeUnit(a.file, b.file));

/** The first reject of the code that most rows have; rows held back for another's sake say nothing of the file. */
const mostFrequent = (rejects: readonly Reject[]): Reject | undefined => {
  const own = rejects.filter((reject) => reject.code !== 'test-held-back');
  const code = byFrequency(own.map((reject) => reject.code))[0];
  return own.find((reject) => reject.code === code);
};
