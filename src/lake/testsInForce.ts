import type { Chain } from '../catalog/chain.ts';
import type { NormalizedOutput, NormalizedTest } from '../normalize/normalized.ts';
import type { LedgerEntry } from './ledger.ts';

export type LakeTest = NormalizedTest & { batch: string; rows: number };
export type LakeOutput = NormalizedOutput & { batch: string };

/** One version of each test, and what became of the rows of all versions, counted by batch. */
export type TestsInForce = {
  winners: Map<string, LakeTest>;
  conflicts: LakeTest[];
  accepted: Map<string, number>;
  duplicate: Map<string, number>;
  superseded: Map<string, number>;
  conflicting: Map<string, number>;
};
type Counts = Pick<TestsInForce, 'accepted' | 'duplicate' | 'superseded' | 'conflicting'>;

export const keyOfTest = (row: { store: string; testId: string }): string =>
  `${row.store}\u0000${row.testId}`;
const byCodeUnit = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Later revised_on wins, else the night first seen, else the file's modification time. Negative when `a` is later. */
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

/**
 * Chooses the version of each test that is in force. Versions that say the same are one: the first seen stays, the others
 * count as duplicate. Of different ones the later wins whole; equally late ones conflict and none is used. Withdrawn tests
 * count as superseded. The order of rows and files does not matter.
 */
export const testsInForce = (
  rows: { tests: readonly LakeTest[]; outputs: readonly LakeOutput[] },
  files: readonly LedgerEntry[],
  chain: Pick<Chain, 'withdraw'>,
): TestsInForce => {
  const versions = versionsByKey(rows.tests);
  const contentOf = contentsOf(versions, rows.outputs);
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
  const count = (test: LakeTest, as: keyof Counts): void => {
    found[as].set(test.batch, (found[as].get(test.batch) ?? 0) + test.rows);
  };
  for (const [key, candidates] of versions) {
    const { winner, conflicts, same, older } = judged(candidates, compare, contentOf);
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

const versionsByKey = (tests: readonly LakeTest[]): Map<string, LakeTest[]> => {
  const versions = new Map<string, LakeTest[]>();
  for (const test of tests) {
    const own = versions.get(keyOfTest(test));
    if (own === undefined) versions.set(keyOfTest(test), [test]);
    else own.push(test);
  }
  return versions;
};

type Judged = { winner: LakeTest | undefined; conflicts: LakeTest[]; same: LakeTest[]; older: LakeTest[] };

const judged = (
  candidates: readonly LakeTest[],
  compare: (a: LakeTest, b: LakeTest) => number,
  contentOf: (test: LakeTest) => string,
): Judged => {
  if (candidates.length === 1) return { winner: candidates[0], conflicts: [], same: [], older: [] };
  const ordered = [...candidates].sort(
    (a, b) => compare(a, b) || byCodeUnit(a.sourceFile, b.sourceFile) || byCodeUnit(a.batch, b.batch),
  );
  const best = ordered[0] as LakeTest;
  const latest = ordered.filter((test) => compare(best, test) === 0);
  if (latest.some((test) => contentOf(test) !== contentOf(best)))
    return { winner: undefined, conflicts: latest, same: [], older: ordered.slice(latest.length) };
  const agreeing = ordered.filter((test) => contentOf(test) === contentOf(best));
  const oldest = agreeing.filter((test) => compare(test, agreeing.at(-1) as LakeTest) === 0);
  const winner = oldest[0] as LakeTest;
  return {
    winner,
    conflicts: [],
    same: agreeing.filter((test) => test !== winner),
    older: ordered.filter((test) => !agreeing.includes(test)),
  };
};

/** What a version says, its outputs included and where it stood left out; worked out only for tests sent more than once. */
const contentsOf = (
  versions: ReadonlyMap<string, readonly LakeTest[]>,
  outputs: readonly LakeOutput[],
): ((test: LakeTest) => string) => {
  const outputsOf = new Map<string, string[]>();
  for (const [key, tests] of versions)
    if (tests.length > 1) for (const test of tests) outputsOf.set(`${test.batch}\u0000${key}`, []);
  if (outputsOf.size > 0)
    for (const { batch, sourceLine, ...output } of outputs)
      outputsOf.get(`${batch}\u0000${keyOfTest(output)}`)?.push(JSON.stringify(output));
  return ({ batch, rows, sourceFile, sourceLine, ...test }) => {
    const own = outputsOf.get(`${batch}\u0000${keyOfTest(test)}`) ?? [];
    return JSON.stringify([test, [...own].sort(byCodeUnit)]);
  };
};
