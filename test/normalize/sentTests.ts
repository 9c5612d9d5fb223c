import type { SentOutput, SentTest, VersionTable } from '../../src/normalize/versionTable.ts';
import { rowsBetween } from '../../src/tables/columnRows.ts';

/** The tests of a table as records, with their outputs. */
export const sentTests = ({
  count,
  tests,
  outputs,
  starts,
}: VersionTable): { test: SentTest; outputs: SentOutput[] }[] =>
  rowsBetween(tests, 0, count).map((test, i) => ({
    test,
    outputs: rowsBetween(outputs, starts[i] as number, starts[i + 1] as number),
  }));
