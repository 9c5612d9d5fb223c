import { byCodeUnit } from '../tables/byCodeUnit.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { columnsOf, type LakeColumns, portionColumns, versionColumns } from './lakeColumns.ts';
import { keyOfTest, type LakeRows } from './lakeRows.ts';
import type { LedgerEntry, PartKind } from './ledger.ts';

/** A part, planned before anything is written. */
export type PlannedPart = { kind: PartKind; month: string; columns: LakeColumns };

/** Parts by month of the cut, portions by month first seen; sorted, so that the order of files does not show. */
export const plannedParts = (rows: LakeRows, files: readonly LedgerEntry[]): PlannedPart[] => {
  const tests = inOrder(rows.tests, ({ batch, test }) => `${batch}\u0000${keyOfTest(test)}`);
  const portions = inOrder(rows.portions, (row) => `${row.batch}\u0000${keyOfTest(row)}`);
  const seenOn = new Map(files.map((file) => [file.batch, file.firstSeenDay]));
  const ofTests = byMonth(tests, ({ test }) => test.cutDay).map(([month, versions]) => ({
    month,
    columns: versionColumns(versions),
  }));
  const part =
    (kind: 'tests' | 'outputs') =>
    ({ month, columns }: (typeof ofTests)[number]): PlannedPart => ({ kind, month, columns: columns[kind] });
  return [
    ...ofTests.map(part('outputs')).filter(({ columns }) => columns['store']?.length !== 0),
    ...byMonth(portions, (row) => seenOn.get(row.batch) as number).map(
      ([month, own]): PlannedPart => ({
        kind: 'portions',
        month,
        columns: columnsOf(portionColumns, own),
      }),
    ),
    ...ofTests.map(part('tests')),
  ];
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
