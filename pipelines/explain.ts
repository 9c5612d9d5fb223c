import type { Chain } from '../src/catalog/chain.ts';
import { exitCodes, OperatorError } from '../src/faults/operatorError.ts';
import { type RejectCode, rejectCodes } from '../src/faults/rejectCodes.ts';
import { testReasons } from '../src/faults/reviewCauses.ts';
import {
  type PublishedFinding,
  readCurrent,
  readCurrentOrFail,
  readFindings,
  readResults,
} from '../src/publish/readRelease.ts';
import type { ResultRow } from '../src/publish/results/resultRows.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';
import { type SentRows, sentRows } from './sentRows.ts';

/** What an id stands for, with every row of the release that it comes from; cells are texts as published. */
export type Explained =
  | {
      kind: 'test';
      id: string;
      test: ResultRow;
      outputs: ResultRow[];
      /** One row a number that was replaced, as sent and as repaired; none for a test taken as sent. */
      repairs: ResultRow[];
      /** One row an outcome: how the expected yield is built; none for a held test. */
      expected: ResultRow[];
      /** Its rows as they stand in the sender's file. */
      sent: SentRows;
    }
  | {
      kind: 'finding';
      id: string;
      finding: PublishedFinding;
      /** Effects of its cutter or store on its item, all outcomes. */
      effects: ResultRow[];
      prices: ResultRow[];
      tests: ResultRow[];
    }
  | {
      kind: 'reject-code';
      id: string;
      message: string;
      remedy: string;
      frictionless: string;
      rejects: ResultRow[];
    }
  | { kind: 'reason'; id: string; tests: ResultRow[] };

/**
 * Walks a test (STORE/TEST), a finding id, a reject code or the code of a reason back through the current release.
 * Throws OperatorError (64) for an id that is none of these, (66) where there is no release.
 */
export const explain = (
  id: string,
  { chainFolder, chain, fs }: { chainFolder: string; chain: Chain; fs: FileSystem },
): Explained => {
  if (Object.hasOwn(rejectCodes, id)) {
    const rejects = readResults(readCurrent(chainFolder, fs), 'rejects', fs);
    return {
      kind: 'reject-code',
      id,
      ...rejectCodes[id as RejectCode],
      rejects: rejects.filter((row) => row['code'] === id),
    };
  }
  const release = readCurrentOrFail(chainFolder, fs);
  const read = (name: string): ResultRow[] => readResults(release, name, fs);
  const finding = readFindings(release, fs).find((row) => row.findingId === id);
  const tests = read('tests');
  if (finding !== undefined) return foundIn(finding, tests, read);
  const test = tests.find((row) => nameOf(row) === id);
  if (test !== undefined) {
    const own = (name: string): ResultRow[] => read(name).filter((row) => nameOf(row) === id);
    const outputs = own('test-outputs');
    const path = test['source_file'] as string;
    const known = read('intake').flatMap((row) => (row['file'] === path ? [row['sha256'] as string] : []));
    return {
      kind: 'test',
      id,
      test,
      outputs,
      repairs: own('repairs'),
      expected: own('expected-terms'),
      sent: sentRows(path, linesOf(test, outputs), { chainFolder, chain, known, fs }),
    };
  }
  const held = tests.filter((row) => row['reasons']?.split(';').includes(id));
  if (held.length > 0 || testReasons.has(id)) return { kind: 'reason', id, tests: held };
  throw new OperatorError(
    `nothing is called "${id}"; give STORE/TEST, a finding id, a reject code or a reason of a held test`,
    exitCodes.usage,
  );
};

const linesOf = (test: ResultRow, outputs: readonly ResultRow[]): Set<number> =>
  new Set([test, ...outputs].map((row) => Number(row['source_line'])));

const nameOf = (row: ResultRow): string => `${row['store']}/${row['test_id']}`;

const foundIn = (
  finding: PublishedFinding,
  tests: readonly ResultRow[],
  read: (name: string) => ResultRow[],
): Explained => {
  const behind = new Set(finding.evidence.map((test) => `${test.store}/${test.testId}`));
  const [of, who] = finding.cutter === '' ? ['store', finding.store] : ['cutter', finding.cutter];
  const kind = finding.item === '' ? of : `${of}-item`;
  const effects = read('effects').filter(
    (row) => row['kind'] === kind && row['id'] === who && row['item'] === finding.item,
  );
  // a change, a portion or a room of one is not this effect: other numbers would only confuse
  const isOwn = effects.some(
    (row) => row['outcome'] === finding.outcome && Math.abs(Number(row['effect']) - finding.effect) < 1e-6,
  );
  return {
    kind: 'finding',
    id: finding.findingId,
    finding,
    effects: isOwn ? effects : [],
    prices: read('class-prices').filter((row) => row['item'] === finding.item),
    tests: tests.filter((row) => behind.has(nameOf(row))),
  };
};
