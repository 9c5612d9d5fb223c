import type { Columns } from '../tables/columnRows.ts';
import type { NormalizedOutput, NormalizedTest } from './normalized.ts';

/** A test with the number of rows it was sent in and the byte of the first of them in the file. */
export type SentTest = Omit<NormalizedTest, 'seenDay'> & { rows: number; byteOffset: number };
/** What an output says that its test does not say already. */
export type SentOutput = Omit<NormalizedOutput, 'store' | 'testId'>;

/**
 * Tests and their outputs by column, as records would take several times the room of a large file. The outputs of test i
 * stand from `starts[i]` up to `starts[i + 1]`.
 */
export type VersionTable = {
  count: number;
  tests: Columns<SentTest>;
  outputs: Columns<SentOutput>;
  starts: ArrayLike<number>;
};
