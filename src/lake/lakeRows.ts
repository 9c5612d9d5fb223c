import type { ColumnTable } from 'arquero';
import type { TestVersion } from '../normalize/normalize.ts';
import type { NormalizedOutput, NormalizedTest } from '../normalize/normalized.ts';
import type { PortionVersion } from '../normalize/normalizePortions.ts';
import type { LedgerEntry, PartKind } from './ledger.ts';
import type { LakePortion } from './portionsInForce.ts';

export type NewFile = { entry: LedgerEntry; versions: TestVersion[]; portions: PortionVersion[] };

/** One version of a test with its outputs; `batch` names the file it came in, `rows` the number of rows it was sent in. */
export type LakeVersion = { batch: string; rows: number; test: NormalizedTest; outputs: NormalizedOutput[] };
export type LakeRows = { tests: LakeVersion[]; portions: LakePortion[] };

type Key = { store: string; testId: string };
/** The key of a test within the chain. */
export const keyOfTest = ({ store, testId }: Key): string => `${store}\u0000${testId}`;

/** Rows of the parts that came in one of the batches. */
export const storedRows = (
  parts: readonly { kind: PartKind; table: ColumnTable }[],
  batches: ReadonlySet<string>,
): LakeRows => {
  const of = <Row extends { batch: string }>(kind: PartKind): Row[] =>
    parts
      .filter((part) => part.kind === kind)
      .flatMap((part) => (part.table.objects() as Row[]).filter((row) => batches.has(row.batch)));
  const tests = of<NormalizedTest & { batch: string; rows: number }>('tests').map(
    (test): LakeVersion => ({ batch: test.batch, rows: test.rows, test, outputs: [] }),
  );
  const versions = new Map(tests.map((version) => [versionKey(version.batch, version.test), version]));
  let last: LakeVersion | undefined;
  for (const output of of<NormalizedOutput & { batch: string }>('outputs')) {
    if (last?.batch !== output.batch || !isSameKey(last.test, output))
      last = versions.get(versionKey(output.batch, output));
    last?.outputs.push(output);
  }
  return { tests, portions: of<LakePortion>('portions') };
};

const versionKey = (batch: string, key: Key): string => `${batch}\u0000${keyOfTest(key)}`;
const isSameKey = (a: Key, b: Key): boolean => a.testId === b.testId && a.store === b.store;

/** Rows of new files. */
export const newRows = (files: readonly NewFile[]): LakeRows => ({
  tests: files.flatMap(({ entry, versions }) =>
    versions.map(({ test, outputs, rows }) => ({
      batch: entry.batch,
      rows,
      test,
      outputs,
    })),
  ),
  portions: files.flatMap(({ entry, portions }) =>
    portions.flatMap((version) => version.portions.map((portion) => ({ ...portion, batch: entry.batch }))),
  ),
});

/** The rows of both, those of the second behind. */
export const merged = (stored: LakeRows, added: LakeRows): LakeRows => ({
  tests: [...stored.tests, ...added.tests],
  portions: [...stored.portions, ...added.portions],
});
