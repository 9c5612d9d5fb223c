import { type ColumnTable, table } from 'arquero';
import type { Chain } from '../catalog/chain.ts';
import { rejectCodes } from '../faults/rejectCodes.ts';
import type { IntakeRow, RefusedFile, Reject } from '../ingest/ingested.ts';
import { byCodeUnit } from '../tables/byCodeUnit.ts';
import { numbersOf } from './lakeColumns.ts';
import { cellOf, type LakeRows, type LakeVersion } from './lakeRows.ts';
import type { LedgerEntry } from './ledger.ts';
import { openFiles, refusedFiles } from './openFiles.ts';
import { portionsInForce } from './portionsInForce.ts';
import { testsInForce } from './testsInForce.ts';
import { outputColumnsOf, testColumnsOf, textsPerOutput } from './versionColumns.ts';

export type CurrentLake = {
  tests: ColumnTable;
  outputs: ColumnTable;
  portions: ColumnTable;
  intake: IntakeRow[];
  rejects: Reject[];
  /** Files of which no row was taken, newest first; one sent again, or back as its rejects file, is settled. */
  refusedFiles: RefusedFile[];
};

type RowCounts = Record<
  'accepted' | 'duplicate' | 'superseded' | 'conflicting',
  ReadonlyMap<string, number>
> & {
  owed: ReadonlyMap<LedgerEntry, number>;
};

const intakeRow = (file: LedgerEntry, counts: RowCounts): IntakeRow => {
  const about = {
    file: file.path,
    sender: file.sender,
    state: file.state,
    rowsRead: file.rowsRead,
    sha256: file.sha256,
    firstSeenDay: file.firstSeenDay,
  };
  if (file.state === 'duplicate-file')
    return {
      ...about,
      accepted: 0,
      rejected: 0,
      blank: 0,
      ignored: 0,
      duplicate: file.rowsRead,
      superseded: 0,
      owed: 0,
    };
  const of = (count: ReadonlyMap<string, number>): number => count.get(file.batch) ?? 0;
  return {
    ...about,
    accepted: of(counts.accepted),
    rejected: file.rejected + of(counts.conflicting),
    blank: file.blank,
    ignored: file.ignored + (file.letGo ?? 0),
    duplicate: of(counts.duplicate),
    superseded: of(counts.superseded),
    owed: (counts.owed.get(file) ?? 0) + of(counts.conflicting),
  };
};

const added = (a: ReadonlyMap<string, number>, b: ReadonlyMap<string, number>): Map<string, number> => {
  const sum = new Map(a);
  for (const [batch, count] of b) sum.set(batch, (sum.get(batch) ?? 0) + count);
  return sum;
};

/**
 * The tests in force, one version each, sorted by (store, testId), with the day first seen and the count of every file's
 * rows. Rows of other files are not there yet: a rerun of a past day knows what that day knew.
 */
export const lake = (rows: LakeRows, files: readonly LedgerEntry[], chain: Chain): CurrentLake => {
  const batches = new Set(files.map((file) => file.batch));
  const isThere = ({ batch }: { batch: string }): boolean => batches.has(batch);
  const found = testsInForce(rows.tests.filter(isThere), files, chain);
  const winners = [...found.winners.values()];
  const own = portionsInForce(rows.portions.filter(isThere), files, {
    chain,
    testsInForce: new Set(found.winners.keys()),
  });
  const open = openFiles(files);
  const counts = {
    accepted: added(found.accepted, own.accepted),
    duplicate: added(found.duplicate, own.duplicate),
    superseded: added(found.superseded, own.superseded),
    conflicting: added(found.conflicting, own.conflicting),
    owed: new Map(open.map(({ file, owed }) => [file, owed])),
  };
  const intake = [...files]
    .sort((a, b) => byCodeUnit(a.path, b.path) || byCodeUnit(a.batch, b.batch))
    .map((file) => intakeRow(file, counts));
  const seenDayOf = new Map(files.map((file) => [file.batch, file.firstSeenDay]));
  const { rows: _, byteOffset: __, ...tests } = testColumnsOf(winners);
  const seenDay = numbersOf(winners, (version) => seenDayOf.get(version.batch) ?? Number.NaN);
  return {
    tests: table({ ...tests, seenDay }),
    outputs: table({
      store: textsPerOutput(winners, 'store'),
      testId: textsPerOutput(winners, 'testId'),
      ...outputColumnsOf(winners),
    }),
    portions: own.portions,
    intake,
    refusedFiles: refusedFiles(open),
    rejects: [...open.flatMap((file) => file.rejects), ...found.conflicts.map(conflictOf), ...own.rejects],
  };
};

const conflictOf = (version: LakeVersion): Reject => ({
  code: 'conflicting-versions',
  sourceFile: cellOf(version, 'sourceFile'),
  sourceLine: cellOf(version, 'sourceLine'),
  byteOffset: cellOf(version, 'byteOffset'),
  field: 'test_id',
  found: cellOf(version, 'testId'),
  expected: 'one version that is later than the others',
  remedy: rejectCodes['conflicting-versions'].remedy,
});
