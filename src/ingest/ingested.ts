/** One refused row, as data: stable code, where, what was found, what was expected, how to mend it. */
export type Reject = {
  code: string;
  sourceFile: string;
  sourceLine: number;
  byteOffset: number;
  field: string;
  found: string;
  expected: string;
  remedy: string;
};

/** Counts per file: rowsRead = accepted + rejected + blank + ignored + duplicate + superseded. */
export type IntakeRow = {
  file: string;
  sender: string;
  state: 'ingested' | 'unchanged' | 'quarantined' | 'waiting' | 'duplicate-file';
  rowsRead: number;
  accepted: number;
  rejected: number;
  blank: number;
  ignored: number;
  duplicate: number;
  superseded: number;
  sha256: string;
};
