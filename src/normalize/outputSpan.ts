import type { ColumnSpan } from '../tables/columnSpan.ts';
import type { NormalizedOutput } from './normalized.ts';

/** What an output says that its test does not say already. */
export type SentOutput = Omit<NormalizedOutput, 'store' | 'testId'>;
/** The outputs of one test, side by side in columns of many: records would take three times the room of a large file. */
export type OutputSpan = ColumnSpan<SentOutput>;

/** Columns that outputs are added to. */
export type OutputLists = { [Name in keyof SentOutput]: SentOutput[Name][] };

/** Columns with no output in them yet. */
export const outputLists = (): OutputLists => ({
  output: [],
  outputClass: [],
  outputKg: [],
  weightAsSent: [],
  pieces: [],
  sourceLine: [],
});
