import type { ColumnTable } from 'arquero';
import type { TestVersion } from '../normalize/normalize.ts';
import type { PortionVersion } from '../normalize/normalizePortions.ts';
import type { OutputSpan } from '../normalize/outputSpan.ts';
import { rowsOf } from '../tables/rows.ts';
import { type LakeColumns, rowsOfColumns, testColumns } from './lakeColumns.ts';
import type { LedgerEntry, PartKind } from './ledger.ts';
import { outputSpans } from './outputColumns.ts';
import type { LakePortion } from './portionsInForce.ts';

export type NewFile = { entry: LedgerEntry; versions: TestVersion[]; portions: PortionVersion[] };

/** One version of a test with its outputs, and the batch that names the file it came in. */
export type LakeVersion = TestVersion & { batch: string };
export type LakeRows = { tests: LakeVersion[]; portions: LakePortion[] };

type Key = { store: string; testId: string };
/** The key of a test within the chain. */
export const keyOfTest = ({ store, testId }: Key): string => `${store}\u0000${testId}`;

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

/** The columns of a part as they are read. */
const columnsIn = (table: ColumnTable | undefined): LakeColumns =>
  Object.fromEntries(
    (table?.columnNames() ?? []).map((name) => [name, table?.array(name) as Float64Array | string[]]),
  );

const versionsIn = (tests: ColumnTable, outputs: ColumnTable | undefined): LakeVersion[] => {
  const columns = columnsIn(tests);
  const { batch = [], rows = [], byteOffset = [] } = columns;
  const { test: places = [], ...ofOutputs } = columnsIn(outputs);
  const spans = outputSpans(ofOutputs, places as Float64Array, tests.numRows());
  return rowsOfColumns(testColumns, columns, tests.numRows()).map((test, i) => ({
    batch: batch[i] as string,
    rows: rows[i] as number,
    byteOffset: byteOffset[i] as number,
    test,
    outputs: spans[i] as OutputSpan,
  }));
};

/** Rows of new files. */
export const newRows = (files: readonly NewFile[]): LakeRows => ({
  tests: files.flatMap(({ entry, versions }) =>
    versions.map((version) => ({ batch: entry.batch, ...version })),
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
