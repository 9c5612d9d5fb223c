import type { ColumnTable } from 'arquero';
import type { PortionVersion } from '../normalize/normalizePortions.ts';
import type { SentTest, VersionTable } from '../normalize/versionTable.ts';
import { rowsOf } from '../tables/rows.ts';
import { type LakeColumns, withBlanks } from './lakeColumns.ts';
import type { LedgerEntry, PartKind } from './ledger.ts';
import type { LakePortion } from './portionsInForce.ts';

export type NewFile = { entry: LedgerEntry; versions: VersionTable; portions: PortionVersion[] };

/** One version of a test, as a place in a table of them; `batch` names the file it came in. */
export type LakeVersion = { batch: string; table: VersionTable; place: number };
export type LakeRows = { tests: LakeVersion[]; portions: LakePortion[] };

type Key = { store: string; testId: string };
/** The key of a test within the chain. */
export const keyOfTest = ({ store, testId }: Key): string => `${store}\u0000${testId}`;

/** One cell of a version of a test. */
export const cellOf = <Name extends keyof SentTest>(
  { table, place }: LakeVersion,
  name: Name,
): SentTest[Name] => table.tests[name][place] as SentTest[Name];

/** The key of the test that a version is of. */
export const keyOfVersion = (version: LakeVersion): string =>
  `${cellOf(version, 'store')}\u0000${cellOf(version, 'testId')}`;

/** A part as read; `tests`, of outputs: the path of the part whose tests they belong to. */
export type ReadPart = { kind: PartKind; path: string; tests: string; table: ColumnTable };

/** Rows of the parts that came in one of the batches. */
export const storedRows = (parts: readonly ReadPart[], batches: ReadonlySet<string>): LakeRows => {
  const of = (kind: PartKind): ReadPart[] => parts.filter((part) => part.kind === kind);
  const outputsOf = new Map(of('outputs').map(({ tests, table }) => [tests, table]));
  return {
    tests: of('tests')
      .flatMap(({ path, table }) => versionsIn(table, outputsOf.get(path)))
      .filter((version) => batches.has(version.batch)),
    portions: of('portions').flatMap(({ table }) =>
      rowsOf<LakePortion>(table).filter((row) => batches.has(row.batch)),
    ),
  };
};

const versionsIn = (tests: ColumnTable, outputs: ColumnTable | undefined): LakeVersion[] => {
  const count = tests.numRows();
  const { batch, ...columns } = columnsIn(tests);
  const { test: places = [], ...ofOutputs } = outputs === undefined ? {} : columnsIn(outputs);
  const table = {
    count,
    tests: withBlanks(columns, count),
    outputs: ofOutputs as unknown as VersionTable['outputs'],
    starts: startsOf(places as Float64Array, count),
  };
  return Array.from({ length: count }, (_, place) => ({ batch: batch?.[place] as string, table, place }));
};

/** The columns of a part as they are read. */
const columnsIn = (table: ColumnTable): LakeColumns =>
  Object.fromEntries(table.columnNames().map((name) => [name, table.array(name) as Float64Array]));

/** Where the outputs of each test begin, by the places of the tests that they belong to, which ascend. */
const startsOf = (places: ArrayLike<number>, count: number): Int32Array => {
  const starts = new Int32Array(count + 1);
  for (let i = 0; i < places.length; i++) starts[(places[i] as number) + 1] = i + 1;
  for (let place = 1; place <= count; place++)
    starts[place] = Math.max(starts[place] as number, starts[place - 1] as number);
  return starts;
};

/** Rows of new files. */
export const newRows = (files: readonly NewFile[]): LakeRows => ({
  tests: files.flatMap(({ entry, versions }) =>
    Array.from({ length: versions.count }, (_, place) => ({ batch: entry.batch, table: versions, place })),
  ),
  portions: files.flatMap(({ entry, portions }) =>
    portions.flatMap((version) => version.portions.map((portion) => ({ ...portion, batch: entry.batch }))),
  ),
});

/** The rows that came in none of the batches; `isLess` says whether there were others. */
export const rowsWithout = (
  rows: LakeRows,
  batches: ReadonlySet<string>,
): { rows: LakeRows; isLess: boolean } => {
  const tests = rows.tests.filter((version) => !batches.has(version.batch));
  const portions = rows.portions.filter((portion) => !batches.has(portion.batch));
  const isLess = tests.length < rows.tests.length || portions.length < rows.portions.length;
  return { rows: { tests, portions }, isLess };
};

/** The rows of both, those of the second behind. */
export const merged = (stored: LakeRows, added: LakeRows): LakeRows => ({
  tests: [...stored.tests, ...added.tests],
  portions: [...stored.portions, ...added.portions],
});
