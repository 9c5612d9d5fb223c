import type { ColumnTable } from 'arquero';
import type { Chain } from '../catalog/chain.ts';
import type { IntakeRow, Reject } from '../ingest/ingested.ts';
import type { TestVersion } from '../normalize/normalize.ts';
import type { NormalizedOutput, NormalizedTest } from '../normalize/normalized.ts';
import type { PortionVersion } from '../normalize/normalizePortions.ts';
import { rowsOf, tableFromRows } from '../tables/rows.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import type { LakeManifest, LedgerEntry, PartKind } from './ledger.ts';
import { type LakePortion, portionsInForce } from './portionsInForce.ts';
import type { PlannedPart } from './writeLake.ts';

type LakeTest = NormalizedTest & { batch: string; rows: number };
type LakeOutput = NormalizedOutput & { batch: string };
export type NewFile = { entry: LedgerEntry; versions: TestVersion[]; portions: PortionVersion[] };
export type LakeRows = { tests: LakeTest[]; outputs: LakeOutput[]; portions: LakePortion[] };

export type CurrentLake = {
  tests: ColumnTable;
  outputs: ColumnTable;
  portions: ColumnTable;
  intake: IntakeRow[];
  rejects: Reject[];
};

const byCodeUnit = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
const keyOf = (row: { store: string; testId: string }): string => `${row.store}\u0000${row.testId}`;

/** Rows of the parts that the ledger still names. */
export const knownRows = (
  parts: readonly { kind: PartKind; table: ColumnTable }[],
  manifest: LakeManifest,
): LakeRows => {
  const batches = new Set(manifest.files.map((file) => file.batch));
  const of = <Row extends { batch: string }>(kind: PartKind): Row[] =>
    parts
      .filter((part) => part.kind === kind)
      .flatMap((part) => rowsOf<Row>(part.table).filter((row) => batches.has(row.batch)));
  return {
    tests: of<LakeTest>('tests'),
    outputs: of<LakeOutput>('outputs'),
    portions: of<LakePortion>('portions'),
  };
};

/** Rows of new files, ready for the parts. */
export const newRows = (files: readonly NewFile[]): LakeRows => {
  const rows: LakeRows = { tests: [], outputs: [], portions: [] };
  for (const { entry, versions, portions } of files) {
    for (const version of versions) {
      rows.tests.push({ ...version.test, batch: entry.batch, rows: version.sourceLines.length });
      for (const output of version.outputs) rows.outputs.push({ ...output, batch: entry.batch });
    }
    for (const version of portions)
      for (const portion of version.portions) rows.portions.push({ ...portion, batch: entry.batch });
  }
  return rows;
};

/** New parts by month of the cut, portions by month first seen; sorted, so that the order of files does not show. */
export const plannedParts = (rows: LakeRows, seenDay: number): PlannedPart[] => {
  const monthOf = new Map(
    rows.tests.map((test) => [`${test.batch}\u0000${keyOf(test)}`, isoFromDay(test.cutDay).slice(0, 7)]),
  );
  const planned = new Map<string, PlannedPart>();
  const put = (kind: PartKind, row: { store: string; testId: string; batch: string }): void => {
    const month =
      kind === 'portions'
        ? isoFromDay(seenDay).slice(0, 7)
        : (monthOf.get(`${row.batch}\u0000${keyOf(row)}`) as string);
    const part = planned.get(`${kind} ${month}`) ?? { kind, month, rows: [] };
    part.rows.push(row);
    planned.set(`${kind} ${month}`, part);
  };
  const sorted = <Row extends { batch: string; store: string; testId: string }>(
    list: readonly Row[],
  ): Row[] =>
    [...list].sort((a, b) => byCodeUnit(`${a.batch}\u0000${keyOf(a)}`, `${b.batch}\u0000${keyOf(b)}`));
  for (const test of sorted(rows.tests)) put('tests', test);
  for (const output of sorted(rows.outputs)) put('outputs', output);
  for (const portion of sorted(rows.portions)) put('portions', portion);
  return [...planned.keys()].sort(byCodeUnit).map((key) => planned.get(key) as PlannedPart);
};

/** Later revised_on wins, else the night first seen, else the file's modification time; equal and different: a conflict. */
const laterFirst =
  (entryOf: ReadonlyMap<string, LedgerEntry>) =>
  (a: LakeTest, b: LakeTest): number => {
    const revised = (test: LakeTest): number => (Number.isNaN(test.revisedDay) ? -1 : test.revisedDay);
    const [first, second] = [entryOf.get(a.batch), entryOf.get(b.batch)];
    return (
      revised(b) - revised(a) ||
      (second?.firstSeenDay ?? 0) - (first?.firstSeenDay ?? 0) ||
      (second?.modifiedMs ?? 0) - (first?.modifiedMs ?? 0)
    );
  };

const content = (test: LakeTest): string =>
  JSON.stringify({ ...test, batch: '', sourceFile: '', sourceLine: 0, rows: 0 });

type Resolution = { winners: Map<string, LakeTest>; superseded: Map<string, number>; conflicts: LakeTest[] };

const resolve = (
  tests: readonly LakeTest[],
  entryOf: ReadonlyMap<string, LedgerEntry>,
  chain: Chain,
): Resolution => {
  const versions = new Map<string, LakeTest[]>();
  for (const test of tests) versions.set(keyOf(test), [...(versions.get(keyOf(test)) ?? []), test]);
  const compare = laterFirst(entryOf);
  const left = new Set(chain.withdraw.map((gone) => `${gone.store}\u0000${gone.test_id}`));
  const removed = new Set(chain.removed_cutters);
  const found: Resolution = { winners: new Map(), superseded: new Map(), conflicts: [] };
  const supersede = (test: LakeTest): void => {
    found.superseded.set(test.batch, (found.superseded.get(test.batch) ?? 0) + test.rows);
  };
  for (const [key, candidates] of versions) {
    const ordered = [...candidates].sort((a, b) => compare(a, b) || byCodeUnit(a.sourceFile, b.sourceFile));
    const best = ordered[0] as LakeTest;
    const tied = ordered.filter((other) => compare(best, other) === 0);
    const isConflict = tied.some((other) => content(other) !== content(best));
    if (isConflict) for (const test of tied) found.conflicts.push(test);
    else if (!left.has(key) && !removed.has(best.cutter)) found.winners.set(key, best);
    else supersede(best);
    for (const test of isConflict ? ordered.filter((other) => !tied.includes(other)) : ordered.slice(1))
      supersede(test);
  }
  return found;
};

type RowCounts = Record<'acceptedRows' | 'superseded' | 'conflicting', ReadonlyMap<string, number>>;

const intakeRow = (file: LedgerEntry, counts: RowCounts): IntakeRow => {
  const about = {
    file: file.path,
    sender: file.sender,
    state: file.state,
    rowsRead: file.rowsRead,
    sha256: file.sha256,
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
    };
  const of = (count: ReadonlyMap<string, number>): number => count.get(file.batch) ?? 0;
  return {
    ...about,
    accepted: of(counts.acceptedRows),
    rejected: file.rejected + of(counts.conflicting),
    blank: file.blank,
    ignored: file.ignored,
    duplicate: 0,
    superseded: of(counts.superseded),
  };
};

/** The tests in force, one version each, sorted by (store, testId), with the count of every file's rows. */
export const lake = (rows: LakeRows, files: readonly LedgerEntry[], chain: Chain): CurrentLake => {
  const entryOf = new Map(files.map((file) => [file.batch, file]));
  const { winners, superseded, conflicts } = resolve(rows.tests, entryOf, chain);
  const keys = [...winners.keys()].sort(byCodeUnit);
  const tests = keys.map((key) => winners.get(key) as LakeTest);
  const outputs = rows.outputs.filter((output) => winners.get(keyOf(output))?.batch === output.batch);
  outputs.sort((a, b) => byCodeUnit(`${keyOf(a)}\u0000${a.output}`, `${keyOf(b)}\u0000${b.output}`));
  const own = portionsInForce(rows.portions, files, { chain, testsInForce: new Set(keys) });
  for (const [batch, count] of own.superseded) superseded.set(batch, count);
  const conflicting = new Map(own.conflicting);
  for (const test of conflicts) conflicting.set(test.batch, (conflicting.get(test.batch) ?? 0) + test.rows);
  const acceptedRows = new Map(own.accepted);
  for (const test of tests) acceptedRows.set(test.batch, (acceptedRows.get(test.batch) ?? 0) + test.rows);
  const intake = [...files]
    .sort((a, b) => byCodeUnit(a.path, b.path) || byCodeUnit(a.batch, b.batch))
    .map((file) => intakeRow(file, { acceptedRows, superseded, conflicting }));
  const conflictRejects = conflicts.map(
    (test): Reject => ({
      code: 'conflicting-versions',
      sourceFile: test.sourceFile,
      sourceLine: test.sourceLine,
      byteOffset: 0,
      field: 'test_id',
      found: test.testId,
      expected: 'one version that is later than the others',
      remedy: 'Send the right one again with revised_on.',
    }),
  );
  const testNames = Object.keys(tests[0] ?? { store: '', testId: '' }).filter(
    (name) => name !== 'batch' && name !== 'rows',
  );
  const outputNames = Object.keys(outputs[0] ?? { store: '', testId: '' }).filter((name) => name !== 'batch');
  return {
    tests: tableFromRows(tests, testNames as (keyof LakeTest)[]),
    outputs: tableFromRows(outputs, outputNames as (keyof LakeOutput)[]),
    portions: own.portions,
    intake,
    rejects: [...files.flatMap((file) => file.rejects), ...conflictRejects, ...own.rejects],
  };
};
