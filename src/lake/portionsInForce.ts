import type { ColumnTable } from 'arquero';
import type { Chain } from '../catalog/chain.ts';
import { rejectCodes } from '../faults/rejectCodes.ts';
import type { Reject } from '../ingest/ingested.ts';
import type { NormalizedPortion } from '../normalize/normalized.ts';
import type { SentPortion } from '../normalize/normalizePortions.ts';
import { byCodeUnit } from '../tables/byCodeUnit.ts';
import { tableFromRows } from '../tables/rows.ts';
import { judgedVersions } from './judgedVersions.ts';
import type { LedgerEntry } from './ledger.ts';

export type LakePortion = SentPortion & { batch: string };
export type PortionsInForce = {
  portions: ColumnTable;
  /** Rows by batch. */
  accepted: Map<string, number>;
  duplicate: Map<string, number>;
  superseded: Map<string, number>;
  conflicting: Map<string, number>;
  rejects: Reject[];
};
/** `copies`: rows that say the same as one of `rows` in the same file. */
type Version = { key: string; batch: string; rows: LakePortion[]; copies: number };

const columns: readonly (keyof NormalizedPortion)[] = [
  'store',
  'testId',
  'output',
  'piece',
  'weightKg',
  'thicknessIn',
  'sourceFile',
  'sourceLine',
];
const testOf = (row: { store: string; testId: string }): string => `${row.store}\u0000${row.testId}`;
const pieceOf = (row: NormalizedPortion): string =>
  `${testOf(row)}\u0000${row.output}\u0000${row.piece.padStart(9, '0')}`;
const contentOf = ({ rows }: Version): string =>
  JSON.stringify(rows.map((row) => ({ ...row, batch: '', sourceFile: '', sourceLine: 0, byteOffset: 0 })));

/**
 * Portions of one version a test: the file first seen later wins, else the one modified later; those that say the same are
 * one; equal and different, both are held. Portions whose test is not (or no longer) in force wait in the lake and are not handed on.
 */
export const portionsInForce = (
  rows: readonly LakePortion[],
  files: readonly LedgerEntry[],
  { chain, testsInForce }: { chain: Chain; testsInForce: ReadonlySet<string> },
): PortionsInForce => {
  const compare = laterFirst(new Map(files.map((file) => [file.batch, file])));
  const withdrawn = new Set(chain.withdraw.map((gone) => `${gone.store}\u0000${gone.test_id}`));
  const inForce: Version[] = [];
  const found: Omit<PortionsInForce, 'portions'> = {
    accepted: new Map(),
    duplicate: new Map(),
    superseded: new Map(),
    conflicting: new Map(),
    rejects: [],
  };
  const count = (into: Map<string, number>, { batch, rows, copies }: Version): void => {
    addRows(into, batch, rows.length);
    addRows(found.duplicate, batch, copies);
  };
  for (const [key, versions] of versionsByTest(rows)) {
    const { winner, conflicts, same, older } = judgedVersions(versions, { compare, contentOf, placeOf });
    for (const version of conflicts) count(found.conflicting, version);
    found.rejects.push(...conflicts.map(conflictOf));
    for (const version of same) count(found.duplicate, version);
    for (const version of older) count(found.superseded, version);
    if (winner === undefined) continue;
    count(withdrawn.has(key) ? found.superseded : found.accepted, winner);
    if (!withdrawn.has(key) && testsInForce.has(key)) inForce.push(winner);
  }
  const kept = inForce.flatMap((version) => version.rows);
  kept.sort((a, b) => byCodeUnit(pieceOf(a), pieceOf(b)));
  return { ...found, portions: tableFromRows<NormalizedPortion>(kept, columns) };
};

const addRows = (counts: Map<string, number>, batch: string, rows: number): void => {
  if (rows > 0) counts.set(batch, (counts.get(batch) ?? 0) + rows);
};

type Compare = (a: Version, b: Version) => number;

const laterFirst =
  (entryOf: ReadonlyMap<string, LedgerEntry>): Compare =>
  (a, b) => {
    const [first, second] = [entryOf.get(a.batch), entryOf.get(b.batch)];
    return (
      (second?.firstSeenDay ?? 0) - (first?.firstSeenDay ?? 0) ||
      (second?.modifiedMs ?? 0) - (first?.modifiedMs ?? 0)
    );
  };

const placeOf = ({ rows, batch }: Version): string => `${(rows[0] as LakePortion).sourceFile}\u0000${batch}`;

const versionsByTest = (rows: readonly LakePortion[]): Map<string, Version[]> => {
  const versions = new Map<string, Version>();
  for (const row of rows) {
    const key = testOf(row);
    const own = versions.get(`${row.batch}\u0000${key}`);
    if (own === undefined)
      versions.set(`${row.batch}\u0000${key}`, { key, batch: row.batch, rows: [row], copies: 0 });
    else own.rows.push(row);
  }
  const byTest = new Map<string, Version[]>();
  for (const version of versions.values()) {
    version.rows.sort((a, b) => byCodeUnit(pieceOf(a), pieceOf(b)));
    // a piece that stands in one file twice got here as a copy alone
    const seen = new Set<string>();
    const rows = version.rows.filter(({ output, piece }) => {
      const own = `${output}\u0000${piece}`;
      return !seen.has(own) && seen.add(own);
    });
    version.copies = version.rows.length - rows.length;
    version.rows = rows;
    byTest.set(version.key, [...(byTest.get(version.key) ?? []), version]);
  }
  return byTest;
};

const conflictOf = ({ rows }: Version): Reject => {
  const { sourceFile, sourceLine, byteOffset, testId } = rows[0] as LakePortion;
  return {
    code: 'conflicting-versions',
    sourceFile,
    sourceLine,
    byteOffset,
    field: 'test_id',
    found: testId,
    expected: 'portions of one file that is later than the others',
    remedy: rejectCodes['conflicting-versions'].remedy,
  };
};
