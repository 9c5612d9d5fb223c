import { type RejectCode, rejectCodes } from '../faults/rejectCodes.ts';
import type { Reject } from './ingested.ts';

/** A reject with its remedy from the catalog; what is not given is line 1, byte 0 and empty texts. */
export const fileFault = (path: string, code: RejectCode, at: Partial<Reject>): Reject => ({
  sourceLine: 1,
  byteOffset: 0,
  field: '',
  found: '',
  expected: '',
  remedy: rejectCodes[code].remedy,
  ...at,
  code,
  sourceFile: path,
});
