import { withBlanks } from '../../src/lake/lakeColumns.ts';
import type { LakeVersion } from '../../src/lake/lakeRows.ts';
import type { SentTest } from '../../src/normalize/versionTable.ts';

/** A version of two rows of a test of store s, saying what is given and nothing else, with one output where it has a weight. */
export const lakeVersion = (batch: string, about: Partial<SentTest>, outputKg?: number): LakeVersion => {
  const test = { store: 's', rows: 2, byteOffset: 61, sourceFile: batch, sourceLine: 2, ...about };
  const columns = Object.entries(test).map(([name, cell]) => [name, [cell]]);
  const outputs = {
    output: ['fat'],
    outputClass: ['fat'],
    outputKg: [outputKg ?? Number.NaN],
    weightAsSent: [outputKg ?? Number.NaN],
    pieces: [Number.NaN],
    sourceLine: [2],
  };
  const starts = [0, outputKg === undefined ? 0 : 1];
  return {
    batch,
    table: { count: 1, tests: withBlanks(Object.fromEntries(columns), 1), outputs, starts },
    place: 0,
  };
};
