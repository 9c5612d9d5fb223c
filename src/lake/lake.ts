import { type ColumnTable, table } from 'arquero';
import type { Chain } from '../catalog/chain.ts';
import type { IntakeRow, Reject } from '../ingest/ingested.ts';
import type { TestVersion } from '../normalize/normalize.ts';
import type { PortionVersion } from '../normalize/normalizePortions.ts';
import { rowsOf, tableFromRows } from '../tables/rows.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import type { LakeManifest, LedgerEntry, PartKind } from './ledger.ts';
import { type LakePortion, portionsInForce } from './portionsInForce.ts';
import { keyOfTest, type LakeOutput, type LakeTest, testsInForce } from './testsInForce.ts';
import type { PlannedPart } from './writeLake.ts';

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

/** The rows of both, those of the second behind. */
export const merged = (stored: LakeRows, added: LakeRows): LakeRows => ({
  tests: [...stored.tests, ...added.tests],
  outputs: [...stored.outputs, ...added.outputs],
  portions: [...stored.portions, ...added.portions],
});

/** Parts by month of the cut, portions by month first seen; sorted, so that the order of files does not show. */
export const plannedParts = (rows: LakeRows, files: readonly LedgerEntry[]): PlannedPart[] => {
  const seenOn = new Map(files.map((file) => [file.batch, file.firstSeenDay]));
  const monthOf = new Map(
    rows.tests.map((test) => [`${test.batch}\u0000${keyOfTest(test)}`, isoFromDay(test.cutDay).slice(0, 7)]),
  );
  const planned = new Map<string, PlannedPart>();
  const put = (kind: PartKind, row: { store: string; testId: string; batch: string }): void => {
    const month =
      kind === 'portions'
        ? isoFromDay(seenOn.get(row.batch) as number).slice(0, 7)
        : (monthOf.get(`${row.batch}\u0000${keyOfTest(row)}`) as string);
    const part = planned.get(`${kind} ${month}`) ?? { kind, month, rows: [] };
    part.rows.push(row);
    planned.set(`${kind} ${month}`, part);
  };
  const sorted = <Row extends { batch: string; store: string; testId: string }>(
    list: readonly Row[],
  ): Row[] =>
    [...list].sort((a, b) =>
      byCodeUnit(`${a.batch}\u0000${keyOfTest(a)}`, `${b.batch}\u0000${keyOfTest(b)}`),
    );
  for (const test of sorted(rows.tests)) put('tests', test);
  for (const output of sorted(rows.outputs)) put('outputs', output);
  for (const portion of sorted(rows.portions)) put('portions', portion);
  return [...planned.keys()].sort(byCodeUnit).map((key) => planned.get(key) as PlannedPart);
};

type RowCounts = Record<'accepted' | 'duplicate' | 'superseded' | 'conflicting', ReadonlyMap<string, number>>;

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
    accepted: of(counts.accepted),
    rejected: file.rejected + of(counts.conflicting),
    blank: file.blank,
    ignored: file.ignored + (file.letGo ?? 0),
    duplicate: of(counts.duplicate),
    superseded: of(counts.superseded),
  };
};

/** Refusals that are still open: those of a file that was sent again under the same path are settled by its newer bytes. */
const openRejects = (files: readonly LedgerEntry[]): Reject[] => {
  const last = new Map<string, LedgerEntry>();
  for (const file of files) {
    const known = last.get(file.path);
    const isLater =
      known === undefined ||
      file.firstSeenDay > known.firstSeenDay ||
      (file.firstSeenDay === known.firstSeenDay && file.modifiedMs >= known.modifiedMs);
    if (isLater) last.set(file.path, file);
  }
  return files.filter((file) => last.get(file.path) === file).flatMap((file) => file.rejects);
};

const added = (a: ReadonlyMap<string, number>, b: ReadonlyMap<string, number>): Map<string, number> => {
  const sum = new Map(a);
  for (const [batch, count] of b) sum.set(batch, (sum.get(batch) ?? 0) + count);
  return sum;
};

/** The tests in force, one version each, sorted by (store, testId), with the day first seen and the count of every file's rows. */
export const lake = (rows: LakeRows, files: readonly LedgerEntry[], chain: Chain): CurrentLake => {
  const found = testsInForce(rows, files, chain);
  const { winners, conflicts } = found;
  const keys = [...winners.keys()].sort(byCodeUnit);
  const tests = keys.map((key) => winners.get(key) as LakeTest);
  const outputs = rows.outputs.filter((output) => winners.get(keyOfTest(output))?.batch === output.batch);
  outputs.sort((a, b) => byCodeUnit(`${keyOfTest(a)}\u0000${a.output}`, `${keyOfTest(b)}\u0000${b.output}`));
  const own = portionsInForce(rows.portions, files, { chain, testsInForce: new Set(keys) });
  const counts = {
    accepted: added(found.accepted, own.accepted),
    duplicate: found.duplicate,
    superseded: added(found.superseded, own.superseded),
    conflicting: added(found.conflicting, own.conflicting),
  };
  const intake = [...files]
    .sort((a, b) => byCodeUnit(a.path, b.path) || byCodeUnit(a.batch, b.batch))
    .map((file) => intakeRow(file, counts));
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
  const seenDayOf = new Map(files.map((file) => [file.batch, file.firstSeenDay]));
  const seenDay = Float64Array.from(tests, (test) => seenDayOf.get(test.batch) ?? Number.NaN);
  return {
    tests: tableFromRows(tests, testNames as (keyof LakeTest)[]).assign(table({ seenDay })),
    outputs: tableFromRows(outputs, outputNames as (keyof LakeOutput)[]),
    portions: own.portions,
    intake,
    rejects: [...openRejects(files), ...conflictRejects, ...own.rejects],
  };
};
