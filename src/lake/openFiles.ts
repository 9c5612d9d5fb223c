import type { RefusedFile, Reject } from '../ingest/ingested.ts';
import { byCodeUnit } from '../tables/byCodeUnit.ts';
import { byFrequency } from '../tables/byFrequency.ts';
import type { LedgerEntry } from './ledger.ts';

const isLater = (a: LedgerEntry, b: LedgerEntry): boolean =>
  a.firstSeenDay > b.firstSeenDay || (a.firstSeenDay === b.firstSeenDay && a.modifiedMs >= b.modifiedMs);

/**
 * Files whose refused rows are not settled: not those of which newer bytes were sent under the same path, nor those of which
 * the rejects file came back with at least as many rows: what is wrong with these stands with the file that came back. Nor
 * reference tables that were taken out of the inbox.
 */
export const openFiles = (files: readonly LedgerEntry[]): LedgerEntry[] => {
  const last = new Map<string, LedgerEntry>();
  for (const file of files) {
    const known = last.get(file.path);
    if (known === undefined || isLater(file, known)) last.set(file.path, file);
  }
  const isMended = (file: LedgerEntry): boolean => {
    const back = last.get(`${file.path}.rejects.csv`);
    return back !== undefined && isLater(back, file) && rowsOf(back) >= file.rejected;
  };
  return files.filter(
    (file) => last.get(file.path) === file && file.movedDay === undefined && !isMended(file),
  );
};

/** Rows of a file that could be read at all. */
const rowsOf = ({ state, rowsRead, blank, ignored }: LedgerEntry): number =>
  state === 'ingested' ? rowsRead - blank - ignored : 0;

/** The open files of which no row was taken, newest first. */
export const refusedFiles = (files: readonly LedgerEntry[]): RefusedFile[] =>
  files
    .flatMap(({ path, sender, refusedStores, firstSeenDay, rowsRead, rejects }) => {
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
