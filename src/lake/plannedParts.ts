import { byCodeUnit } from '../tables/byCodeUnit.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import {
  columnsOf,
  type LakeColumns,
  numbersOf,
  portionColumns,
  saying,
  testColumns,
} from './lakeColumns.ts';
import { keyOfTest, type LakeRows, type LakeVersion } from './lakeRows.ts';
import type { LedgerEntry } from './ledger.ts';
import { outputColumns, versionPlaces } from './outputColumns.ts';

/** A part, planned before anything is written; that of tests with the outputs, which go to a part beside it. */
export type PlannedPart =
  | { kind: 'tests'; month: string; columns: LakeColumns; outputs: LakeColumns }
  | { kind: 'portions'; month: string; columns: LakeColumns };

/** Parts by month of the cut, portions by month first seen; sorted, so that the order of files does not show. */
export const plannedParts = (rows: LakeRows, files: readonly LedgerEntry[]): PlannedPart[] => {
  const tests = inOrder(rows.tests, ({ batch, test }) => `${batch}\u0000${keyOfTest(test)}`);
  const portions = inOrder(rows.portions, (row) => `${row.batch}\u0000${keyOfTest(row)}`);
  const seenOn = new Map(files.map((file) => [file.batch, file.firstSeenDay]));
  return [
    ...byMonth(tests, ({ test }) => test.cutDay).map(([month, versions]): PlannedPart => {
      const columns = versionColumns(versions);
      return { kind: 'tests', month, columns: columns.tests, outputs: columns.outputs };
    }),
    ...byMonth(portions, (row) => seenOn.get(row.batch) as number).map(
      ([month, own]): PlannedPart => ({ kind: 'portions', month, columns: columnsOf(portionColumns, own) }),
    ),
  ];
};

/**
 * The columns of tests with their batch, and of their outputs, in the order of the versions; `test` of an output is the place
 * of its test. Columns that say nothing are left out.
 */
const versionColumns = (versions: readonly LakeVersion[]): { tests: LakeColumns; outputs: LakeColumns } => {
  const tests = versions.map((version) => version.test);
  return {
    tests: saying({
      ...columnsOf(testColumns, tests),
      batch: versions.map((version) => version.batch),
      rows: numbersOf(versions, (version) => version.rows),
      byteOffset: numbersOf(versions, (version) => version.byteOffset),
    }),
    outputs: { ...outputColumns(versions), test: versionPlaces(versions) },
  };
};

/** Rows sorted by a key that is worked out once for each. */
const inOrder = <Row>(rows: readonly Row[], keyOf: (row: Row) => string): Row[] =>
  rows
    .map((row) => ({ row, key: keyOf(row) }))
    .sort((a, b) => byCodeUnit(a.key, b.key))
    .map(({ row }) => row);

/** Rows by the month of their day, the earlier months first. */
const byMonth = <Row>(rows: readonly Row[], dayOf: (row: Row) => number): [string, Row[]][] => {
  const monthOf = new Map<number, string>();
  const months = new Map<string, Row[]>();
  for (const row of rows) {
    const day = dayOf(row);
    const month = monthOf.get(day) ?? isoFromDay(day).slice(0, 7);
    monthOf.set(day, month);
    const own = months.get(month);
    if (own === undefined) months.set(month, [row]);
    else own.push(row);
  }
  return [...months].sort(([a], [b]) => byCodeUnit(a, b));
};
