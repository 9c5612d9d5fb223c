import type { OutputEntry, SenderEntry } from '../catalog/chain.ts';
import type { RejectCode } from '../faults/rejectCodes.ts';

/** One refused row or file, as data: stable code, where, what was found, what was expected, how to mend it. */
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
  /** `waiting`: still growing when it was read, left for the next night. */
  state: 'ingested' | 'quarantined' | 'duplicate-file' | 'waiting';
  rowsRead: number;
  accepted: number;
  rejected: number;
  blank: number;
  ignored: number;
  duplicate: number;
  superseded: number;
  sha256: string;
  /** Of the rejected rows: those that neither came back in the rejects file nor with newer bytes of the file. */
  owed: number;
  /** Night on which the file was first there; of one that waits, tonight. */
  firstSeenDay: number;
};

/**
 * A file of which no row was taken: why, by the fault that most of it has, and the stores it names as far as it could be
 * read ([] = not known). `seenDay`: when it was first there.
 */
export type RefusedFile = {
  file: string;
  sender: string;
  stores: readonly string[];
  seenDay: number;
  rows: number;
  reject: Reject;
};

/** A typed cell: text ('' missing), number or day (NaN missing). */
export type Cell = string | number;

/**
 * Delivered rows after typing, by column; a row is known by its place. `own`: the fields of the row alone. `shared`: the
 * fields that tell about the whole test, kept once for a run of consecutive rows that send the same; `runs`: the run of each
 * row. Which column a field stands in is said by `places` of the table.
 */
export type TypedLines = {
  own: Cell[][];
  shared: Cell[][];
  runs: number[];
  sourceLine: number[];
  byteOffset: number[];
};

export type CellPlace = { isOwn: boolean; at: number };

/**
 * A row whose own cells were refused. `isSure` is false when the row may belong to another test than its cells say, `isGlued`
 * is true when it may hold a row of another test besides its own, `isInPlace` when its cells stand in their columns: none
 * is wrong, or all that are in the same way.
 */
export type RefusedRow = {
  sourceLine: number;
  storeAndTest: string;
  isSure: boolean;
  isGlued: boolean;
  isInPlace: boolean;
};

export type IngestedTable = {
  state: 'ingested' | 'quarantined';
  /** The column names as sent; [] where none could be told. */
  header: readonly string[];
  delimiter: string;
  formats: { decimal: '.' | ','; dates: 'ymd' | 'mdy' | 'dmy' };
  places: ReadonlyMap<string, CellPlace>;
  /** Wide layout: our outputs, standing as `wide:<output>` in places. Empty in the long layout. */
  wideOutputs: readonly string[];
  lines: TypedLines;
  rejects: Reject[];
  refused: RefusedRow[];
  /** Of a mended rejects file: the lines of the sender's file that it brings back; undefined where it does not say. */
  mendedLines?: readonly number[] | undefined;
  /** Stores that the file names, as far as it could be read; also where nothing of it is used. */
  stores: readonly string[];
  rowsRead: number;
  blank: number;
  ignored: number;
};

export type SchemaField = {
  name: string;
  type: 'string' | 'number' | 'integer' | 'date';
  /** The column must be there though its cells may be blank. */
  columnRequired?: boolean;
  constraints?: {
    required?: boolean;
    enum?: string[];
    minimum?: number;
    exclusiveMinimum?: number;
    maximum?: number;
  };
};

/** A kind of table by its name, and its fields. */
export type NamedFields = { name: string; fields: readonly SchemaField[] };

/** One delivered file with the sender entry and the schema it is read by; `outputs` name columns of the wide layout. */
export type Delivery = {
  path: string;
  bytes: Uint8Array;
  /** Bytes on the disk, where the file was too large to be read. */
  size?: number;
  sender: SenderEntry;
  fields: readonly SchemaField[];
  outputs?: readonly Pick<OutputEntry, 'output' | 'aliases'>[];
};
