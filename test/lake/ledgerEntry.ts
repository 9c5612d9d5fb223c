import type { LedgerEntry } from '../../src/lake/ledger.ts';

/** An ingested file without rows, named by its batch. */
export const ledgerEntry = (
  batch: string,
  firstSeenDay: number,
  about: Partial<LedgerEntry> = {},
): LedgerEntry => ({
  batch,
  sha256: batch,
  path: `inbox/${batch}.csv`,
  sender: '',
  state: 'ingested',
  rowsRead: 0,
  blank: 0,
  ignored: 0,
  rejected: 0,
  firstSeenDay,
  modifiedMs: 0,
  rejects: [],
  ...about,
});
