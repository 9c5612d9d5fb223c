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
  /** Rows of tests that the lake no longer keeps (lake/retained). */
  letGo?: number;
  firstSeenDay: number;
  modifiedMs: number;
  /** Bytes on the disk. */
  size?: number;
  /** How the cells of the file were read; those of a mended rejects file of it are read the same way, whatever stands between. */
  dialect?: { decimal: '.' | ','; dates: 'ymd' | 'mdy' | 'dmy' };
  rejects: Reject[];
  /** Of a mended rejects file: the lines of the sender's file that it brought back, where it says so. */
  mendedLines?: readonly number[];
  /** Of a reference table in the inbox: the day on which it was no longer there, as it was told to be moved. */
  movedDay?: number;
  /** Of a file of which no row was taken: the stores it names as far as it could be read. */
  refusedStores?: readonly string[];
};

/** A reference table as first seen with this content on that day; '' = it was gone. */
export type ReferenceEvent = { table: string; sha256: string; seenDay: number };

export type PartKind = 'tests' | 'outputs' | 'portions';
export type PartEntry = {
  path: string;
  kind: PartKind;
  month: string;
  rows: number;
  sha256: string;
  /** Of outputs: path of the part whose tests they belong to. */
  tests?: string;
};

/** The lake's one manifest, swapped whole: whatever it does not name does not exist. */
export type LakeManifest = {
  generation: number;
  files: LedgerEntry[];
  parts: PartEntry[];
  reference?: ReferenceEvent[];
  /** Latest day that a night stood on, also one that brought nothing. */
  latestDay?: number;
};

/** A lake that holds nothing yet. */
export const emptyManifest: LakeManifest = { generation: 0, files: [], parts: [] };
