import type { Chain } from '../catalog/chain.ts';
import type { SentOutput, SentTest } from '../normalize/versionTable.ts';
import { byCodeUnit } from '../tables/byCodeUnit.ts';
import { rowsBetween } from '../tables/columnRows.ts';
import { judgedVersions } from './judgedVersions.ts';
import { testColumns } from './lakeColumns.ts';
import { cellOf, keyOfTest, keyOfVersion, type LakeVersion } from './lakeRows.ts';
import type { LedgerEntry } from './ledger.ts';
import { outputColumns } from './versionColumns.ts';

/** One version of each test, and what became of the rows of all versions, counted by batch. */
export type TestsInForce = {
  /** In order of their keys. */
  winners: Map<string, LakeVersion>;
  conflicts: LakeVersion[];
  accepted: Map<string, number>;
  duplicate: Map<string, number>;
  superseded: Map<string, number>;
  conflicting: Map<string, number>;
};
type Counts = Pick<TestsInForce, 'accepted' | 'duplicate' | 'superseded' | 'conflicting'>;

/** Later revised_on wins, else the night first seen, else the file's modification time. Negative when `a` is later. */
const laterFirst =
  (entryOf: ReadonlyMap<string, LedgerEntry>) =>
  (a: LakeVersion, b: LakeVersion): number => {
    const revised = (version: LakeVersion): number =>
      Number.isNaN(cellOf(version, 'revisedDay')) ? -1 : cellOf(version, 'revisedDay');
    const [first, second] = [entryOf.get(a.batch), entryOf.get(b.batch)];
    return (
      revised(b) - revised(a) ||
      (second?.firstSeenDay ?? 0) - (first?.firstSeenDay ?? 0) ||
      (second?.modifiedMs ?? 0) - (first?.modifiedMs ?? 0)
    );
  };

/**
 * Chooses the version of each test that is in force. Versions that say the same are one: the first seen stays, the others
 * count as duplicate. Of different ones the later wins whole; equally late ones conflict and none is used. Withdrawn tests
 * count as superseded. The order of rows and files does not matter.
 */
export const testsInForce = (
  tests: readonly LakeVersion[],
  files: readonly LedgerEntry[],
  chain: Pick<Chain, 'withdraw'>,
): TestsInForce => {
  const compare = laterFirst(new Map(files.map((file) => [file.batch, file])));
  const withdrawn = new Set(
    chain.withdraw.map((gone) => keyOfTest({ store: gone.store, testId: gone.test_id })),
  );
  const found: TestsInForce = {
    winners: new Map(),
    conflicts: [],
    accepted: new Map(),
    duplicate: new Map(),
    superseded: new Map(),
    conflicting: new Map(),
  };
  const count = (test: LakeVersion, as: keyof Counts): void => {
    found[as].set(test.batch, (found[as].get(test.batch) ?? 0) + cellOf(test, 'rows'));
  };
  for (const [key, candidates] of versionsByKey(tests)) {
    const { winner, conflicts, same, older } = judgedVersions(candidates, { compare, contentOf, placeOf });
    for (const test of conflicts) {
      found.conflicts.push(test);
      count(test, 'conflicting');
    }
    for (const test of same) count(test, 'duplicate');
    for (const test of older) count(test, 'superseded');
    if (winner === undefined) continue;
    if (!withdrawn.has(key)) found.winners.set(key, winner);
    count(winner, withdrawn.has(key) ? 'superseded' : 'accepted');
  }
  return found;
};

/** The versions of each test, the tests in order of their keys. */
const versionsByKey = function* (tests: readonly LakeVersion[]): Generator<[string, LakeVersion[]]> {
  const keyed = tests
    .map((version) => ({ key: keyOfVersion(version), version }))
    .sort((a, b) => byCodeUnit(a.key, b.key));
  for (let at = 0; at < keyed.length; ) {
    const { key } = keyed[at] as (typeof keyed)[number];
    const own: LakeVersion[] = [];
    for (let next = keyed[at]; next?.key === key; next = keyed[++at]) own.push(next.version);
    yield [key, own];
  }
};

const placeOf = (version: LakeVersion): string => `${cellOf(version, 'sourceFile')}\u0000${version.batch}`;

/** Columns that tell where a version stood, not what it says. */
const ofPlace = new Set(['sourceFile', 'sourceLine', 'rows', 'byteOffset']);
const saidByTest = (Object.keys(testColumns) as (keyof SentTest)[]).filter((name) => !ofPlace.has(name));
const saidByOutput = (Object.keys(outputColumns) as (keyof SentOutput)[]).filter(
  (name) => !ofPlace.has(name),
);

/** What a version says, its outputs included. */
const contentOf = (version: LakeVersion): string => {
  const { outputs, starts } = version.table;
  const [from, to] = [starts[version.place] as number, starts[version.place + 1] as number];
  const own = rowsBetween(outputs, from, to).map((output) => saidByOutput.map((name) => output[name]));
  return JSON.stringify([saidByTest.map((name) => cellOf(version, name)), own]);
};
