import { byCodeUnit } from '../tables/byCodeUnit.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { columnsOf, type LakeColumns, portionColumns, saying, textsOf } from './lakeColumns.ts';
import { cellOf, type LakeRows, type LakeVersion } from './lakeRows.ts';
import type { LedgerEntry } from './ledger.ts';
import { outputColumnsOf, testColumnsOf, versionPlaces } from './versionColumns.ts';

/**
 * A part, planned before anything is written; that of tests with the outputs, which go to a part beside it. Columns are made
 * when they are asked for, so that those of all months are never there at once.
 */
export type PlannedPart = {
  kind: 'tests' | 'portions';
  month: string;
  columns: () => LakeColumns;
  outputs?: () => LakeColumns;
};

/**
 * Parts by month of the cut, portions by month first seen. Sorted by batch, so that the order of files does not show; within
 * a batch rows stay as they stood in the file, where they are also read fastest.
 */
export const plannedParts = (rows: LakeRows, files: readonly LedgerEntry[]): PlannedPart[] => {
  const [tests, portions] = [byBatch(rows.tests), byBatch(rows.portions)];
  const seenOn = new Map(files.map((file) => [file.batch, file.firstSeenDay]));
  return [
    ...byMonth(tests, (version) => cellOf(version, 'cutDay')).map(
      ([month, versions]): PlannedPart => ({
        kind: 'tests',
        month,
        columns: () => partOfTests(versions),
        outputs: () => ({ ...outputColumnsOf(versions), test: versionPlaces(versions) }),
      }),
    ),
    ...byMonth(portions, (row) => seenOn.get(row.batch) as number).map(
      ([month, own]): PlannedPart => ({
        kind: 'portions',
        month,
        columns: () => columnsOf(portionColumns, own),
      }),
    ),
  ];
};

/** The columns of tests with their batch; those that say nothing are left out. `test` of an output is the place of its test here. */
const partOfTests = (versions: readonly LakeVersion[]): LakeColumns =>
  saying({ ...testColumnsOf(versions), batch: textsOf(versions, ({ batch }) => batch) });

const byBatch = <Row extends { batch: string }>(rows: readonly Row[]): Row[] =>
  [...rows].sort((a, b) => byCodeUnit(a.batch, b.batch));

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
