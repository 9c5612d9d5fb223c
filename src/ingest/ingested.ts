import type { SenderEntry } from '../catalog/chain.ts';
import type { RejectCode } from '../faults/rejectCodes.ts';

/** One refused row, as data: stable code, where, what was found, what was expected, how to mend it. */
export type Reject = {
  code: RejectCode;
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
  state: 'ingested' | 'quarantined' | 'duplicate-file';
  rowsRead: number;
  accepted: number;
  rejected: number;
  blank: number;
  ignored: number;
  duplicate: number;
  superseded: number;
  sha256: string;
};

/** One delivered row after typing: cells by our column name (text, number or day), missing '' or NaN. */
export type TypedLine = {
  values: Record<string, string | number>;
  /** Wide layout: our output -> weight text value (NaN blank). Empty in the long layout. */
  wideOutputs: [string, number][];
  sourceLine: number;
  byteOffset: number;
  record: readonly string[];
};

export type IngestedTable = {
  state: 'ingested' | 'quarantined';
  header: readonly string[];
  lines: TypedLine[];
  rejects: Reject[];
  /** Rows whose own cells were refused, with the record as sent. */
  refused: { sourceLine: number; record: readonly string[]; storeAndTest: string }[];
  rowsRead: number;
  blank: number;
  ignored: number;
};

export type SchemaField = {
  name: string;
  type: 'string' | 'number' | 'integer' | 'date';
  constraints?: {
    required?: boolean;
    enum?: string[];
    minimum?: number;
    exclusiveMinimum?: number;
    maximum?: number;
  };
};

/** One delivered file with the sender entry and the schema it is read by. */
export type Delivery = {
  path: string;
  bytes: Uint8Array;
  sender: SenderEntry;
  fields: readonly SchemaField[];
};
