import type { IntakeRow, Reject } from '../ingest/ingested.ts';

/** What the lake remembers of one delivered file; `batch` names its rows in the parts (file bytes + chain settings). */
export type LedgerEntry = {
  batch: string;
  sha256: string;
  path: string;
  sender: string;
  state: IntakeRow['state'];
  rowsRead: number;
  blank: number;
  ignored: number;
  /** Rows refused when read or held back with their test. */
  rejected: number;
  firstSeenDay: number;
  modifiedMs: number;
  rejects: Reject[];
};

export type PartKind = 'tests' | 'outputs' | 'portions';
export type PartEntry = {
  path: string;
  kind: PartKind;
  month: string;
  rows: number;
  sha256: string;
};

/** The lake's one manifest, swapped whole: whatever it does not name does not exist. */
export type LakeManifest = { generation: number; files: LedgerEntry[]; parts: PartEntry[] };

export const emptyManifest: LakeManifest = { generation: 0, files: [], parts: [] };
