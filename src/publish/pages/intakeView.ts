import { type RejectCode, rejectCodes } from '../../faults/rejectCodes.ts';
import type { StoreStatusRow } from '../../findings/found.ts';
import type { IntakeRow, Reject } from '../../ingest/ingested.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import { byCodeUnit } from '../../tables/byCodeUnit.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { pickedRows } from '../../tables/rows.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import type { SitesInput } from '../sitesInput.ts';

/** Rows that were sent, blank and repeated ones apart, and how many of them were refused or held back with their test. */
export type SentCounts = { files: number; rows: number; refused: number };
export type ReasonCount = { code: RejectCode; count: number };

/** One store, or the stores that share a file. `recent`: first there in the last four weeks; `before`: in the four before. */
export type SenderRow = {
  /** [] = of files that name no store. */
  stores: readonly string[];
  status: StoreStatusRow | undefined;
  owed: number;
  recent: SentCounts;
  before: SentCounts;
};
export type MendRow = {
  /** Below inbox/, or reference/<table>.csv. */
  file: string;
  stores: readonly string[];
  /** ISO day on which it was first there; '' = not known. */
  seen: string;
  /** Refused rows that have not come back; NaN of a reference table. */
  rows: number;
  isWhole: boolean;
  reasons: ReasonCount[];
};
export type ReasonRow = ReasonCount & { files: number; stores: number };

/** What became of the rows sent. It holds no cell of any file, as a cell may name a cutter. */
export type IntakeView = {
  minimumGroup: number;
  recent: SentCounts;
  before: SentCounts;
  /** The last 26 weeks in which rows came, oldest first, by their last day. */
  weeks: ({ until: string } & SentCounts)[];
  senders: SenderRow[];
  reasons: ReasonRow[];
  /** Files with rows still to be mended, newest first. */
  mend: MendRow[];
};

const fourWeeks = 28;
const weeksShown = 26;

/** Counts what was sent by week, store, reason and file. */
export const intakeView = ({
  chain,
  asOfDay,
  intake,
  rejects,
  measured,
  found,
}: Pick<SitesInput, 'chain' | 'asOfDay' | 'intake' | 'rejects' | 'measured' | 'found'>): IntakeView => {
  const storesOf = storesByFile({ measured, found });
  const daysAgo = ({ firstSeenDay }: IntakeRow): number => asOfDay - firstSeenDay;
  const recent = intake.filter((file) => daysAgo(file) < fourWeeks);
  const before = intake.filter((file) => daysAgo(file) >= fourWeeks && daysAgo(file) < 2 * fourWeeks);
  const ofFile = groupedBy(rejects, (reject) => reject.sourceFile);
  // of files of one name the last that was sent
  const sentAs = new Map(
    [...intake].sort((a, b) => a.firstSeenDay - b.firstSeenDay).map((row) => [row.file, row]),
  );
  return {
    minimumGroup: chain.privacy.minimum_group,
    recent: countsOf(recent),
    before: countsOf(before),
    weeks: weeksOf(intake, asOfDay),
    senders: sendersOf({ found, storesOf, recent, before }),
    reasons: [...groupedBy(rejects, ({ code }) => code).values()]
      .map((own) => {
        const files = [...new Set(own.map(({ sourceFile }) => sourceFile))];
        const [reason] = reasonsOf(own) as [ReasonCount];
        return { ...reason, files: files.length, stores: new Set(files.flatMap(storesOf)).size };
      })
      .sort(oftenFirst),
    mend: [...ofFile].map(([file, own]) => mendRow(own, sentAs.get(file), storesOf)).sort(newestFirst),
  };
};

type StoresOf = (file: string) => readonly string[];

/** Stores of a file: those of its tests in force, else those that a file refused whole is of. */
const storesByFile = ({ measured, found }: Pick<SitesInput, 'measured' | 'found'>): StoresOf => {
  const sources = pickedRows<MeasuredTest, 'store' | 'sourceFile'>(measured.tests, ['store', 'sourceFile']);
  const known = new Map(found.refused.map((file) => [file.file, [...file.stores].sort()]));
  for (const [file, own] of groupedBy(sources, (test) => test.sourceFile))
    known.set(file, [...new Set(own.map(({ store }) => store))].sort());
  return (file) => known.get(file) ?? [];
};

const countsOf = (files: readonly IntakeRow[]): SentCounts => {
  const counts = { files: 0, rows: 0, refused: 0 };
  for (const { rowsRead, blank, ignored, duplicate, rejected } of files) {
    counts.files++;
    counts.rows += rowsRead - blank - ignored - duplicate;
    counts.refused += rejected;
  }
  return counts;
};

const weeksOf = (intake: readonly IntakeRow[], asOfDay: number): IntakeView['weeks'] =>
  [...groupedBy(intake, ({ firstSeenDay }) => Math.floor((asOfDay - firstSeenDay) / 7))]
    .filter(([ago]) => ago >= 0 && ago < weeksShown)
    .sort(([a], [b]) => b - a)
    .map(([ago, files]) => ({ until: isoFromDay(asOfDay - 7 * ago), ...countsOf(files) }))
    .filter(({ rows }) => rows > 0);

const reasonsOf = (rejects: readonly Reject[]): ReasonCount[] =>
  [...groupedBy(rejects, ({ code }) => code)]
    .map(([code, own]) => ({ code, count: own.length }))
    .sort(oftenFirst);

const oftenFirst = (a: ReasonCount, b: ReasonCount): number =>
  b.count - a.count || byCodeUnit(a.code, b.code);

const sendersOf = ({
  found,
  storesOf,
  recent,
  before,
}: {
  found: SitesInput['found'];
  storesOf: StoresOf;
  recent: readonly IntakeRow[];
  before: readonly IntakeRow[];
}): SenderRow[] => {
  const keyOf = (file: string): string => JSON.stringify(storesOf(file));
  const [now, then] = [recent, before].map((files) => groupedBy(files, ({ file }) => keyOf(file)));
  const statusOf = new Map(found.stores.map((row) => [row.store, row]));
  const owed = new Map<string, number>();
  for (const { store, tests } of found.owed) owed.set(store, (owed.get(store) ?? 0) + tests);
  const known = [...statusOf.keys()].map((store) => JSON.stringify([store]));
  const keys = [...new Set([...known, ...(now?.keys() ?? []), ...(then?.keys() ?? [])])];
  return keys.map((key) => {
    const stores = JSON.parse(key) as string[];
    const only = stores.length === 1 ? (stores[0] as string) : '';
    return {
      stores,
      status: statusOf.get(only),
      owed: owed.get(only) ?? 0,
      recent: countsOf(now?.get(key) ?? []),
      before: countsOf(then?.get(key) ?? []),
    };
  });
};

const mendRow = (own: readonly Reject[], sent: IntakeRow | undefined, storesOf: StoresOf): MendRow => {
  const file = (own[0] as Reject).sourceFile;
  return {
    file: file.replace(/^inbox\//, ''),
    stores: storesOf(file),
    seen: sent === undefined ? '' : isoFromDay(sent.firstSeenDay),
    rows: sent === undefined ? Number.NaN : sent.owed,
    isWhole: sent?.state === 'quarantined',
    reasons: reasonsOf(own),
  };
};

const newestFirst = (a: MendRow, b: MendRow): number =>
  byCodeUnit(b.seen, a.seen) || b.rows - a.rows || byCodeUnit(a.file, b.file);

/** Why and what to do, in the words of the one catalog: the most frequent reason first. */
export const reasonText = (reasons: readonly ReasonCount[]): { why: string; remedy: string } => {
  const [first, ...others] = reasons;
  if (first === undefined) return { why: '', remedy: '' };
  const { message, remedy } = rejectCodes[first.code];
  const more =
    others.length === 0 ? '' : ` And ${others.length} other ${others.length === 1 ? 'reason' : 'reasons'}.`;
  return { why: `${message}${more}`, remedy };
};
