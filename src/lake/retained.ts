import type { Reject } from '../ingest/ingested.ts';
import { dayFromCivil, monthOf } from '../units/calendarDay.ts';
import { cellOf, keyOfTest, keyOfVersion, type LakeRows, type LakeVersion } from './lakeRows.ts';
import type { LakeManifest, LedgerEntry, ReferenceEvent } from './ledger.ts';
import { openFiles } from './openFiles.ts';
import { testsInForce } from './testsInForce.ts';

/** What is let go: tests cut before a day (-Infinity keeps all) and tests of cutters who are to be forgotten. */
export type LetGo = { beforeDay: number; cutters: ReadonlySet<string> };
export type Retained = {
  rows: LakeRows;
  manifest: LakeManifest;
  /** Rows were let go: the parts are to be written anew from `rows`. */
  isCut: boolean;
  /** Paths of files whose refused rows are no longer kept, or were mended: nothing of them is to be mended. */
  settledPaths: string[];
  /** Files of whose refused rows some are mended, and the lines of those still owed. */
  partlySettled: { file: LedgerEntry; owedLines: ReadonlySet<number> }[];
};
type KeptRows = {
  rows: LakeRows;
  /** Delivered rows that are let go, by batch; empty when all are kept. */
  letGo: Map<string, number>;
};

/** First day whose tests are kept: the first of the month that lies `months` before that of the day; -Infinity for 0 months. */
export const firstDayKept = (day: number, months: number): number => {
  if (!(months > 0)) return Number.NEGATIVE_INFINITY;
  const month = monthOf(day) - months;
  return dayFromCivil(Math.floor(month / 12), (month % 12) + 1, 1);
};

/** What the lake keeps of its rows, its ledger and the reference tables it remembers. */
export const retained = (rows: LakeRows, manifest: LakeManifest, letGo: LetGo): Retained => {
  const { files, reference = [] } = manifest;
  const kept = rowsKept(rows, files, letGo);
  const filesKept = ledgerKept(files, kept.letGo, letGo);
  const referenceKept = referenceEventsKept(reference, letGo);
  const openNow = openFiles(filesKept);
  const open = new Set(openNow.flatMap(({ file, rejects }) => (rejects.length > 0 ? [file.path] : [])));
  const settled = files.filter((file) => file.rejects.length > 0 && !open.has(file.path));
  return {
    rows: kept.rows,
    manifest: { ...manifest, files: filesKept, reference: referenceKept },
    isCut: kept.letGo.size > 0,
    settledPaths: [...new Set(settled.map((file) => file.path))],
    partlySettled: openNow
      .filter(({ file, rejects }) => rejects.length < file.rejects.length)
      .map(({ file, rejects }) => ({ file, owedLines: new Set(rejects.map((one) => one.sourceLine)) })),
  };
};

/**
 * The rows that the lake keeps. A test is let go with all its versions when the one in force is to go, or when none is in
 * force; other versions that are to go are let go alone. Portions go with their test, and those of files first seen before
 * the day.
 */
const rowsKept = (rows: LakeRows, files: readonly LedgerEntry[], { beforeDay, cutters }: LetGo): KeptRows => {
  const isToGo = (version: LakeVersion): boolean =>
    cellOf(version, 'cutDay') < beforeDay || cutters.has(cellOf(version, 'cutter'));
  const touched = new Set(rows.tests.filter(isToGo).map(keyOfVersion));
  const oldBatches = new Set(files.flatMap((file) => (file.firstSeenDay < beforeDay ? [file.batch] : [])));
  const { winners } = testsInForce(
    touched.size === 0 ? [] : rows.tests.filter((version) => touched.has(keyOfVersion(version))),
    files,
    { withdraw: [] },
  );
  const isWholeGone = (key: string): boolean => {
    const winner = winners.get(key);
    return touched.has(key) && (winner === undefined || isToGo(winner));
  };
  const letGo = new Map<string, number>();
  const count = (batch: string, lost: number): void => {
    letGo.set(batch, (letGo.get(batch) ?? 0) + lost);
  };
  const tests = rows.tests.filter((version) => {
    const isGone = touched.size > 0 && (isToGo(version) || isWholeGone(keyOfVersion(version)));
    if (isGone) count(version.batch, cellOf(version, 'rows'));
    return !isGone;
  });
  const portions = rows.portions.filter((portion) => {
    const isKept = !oldBatches.has(portion.batch) && !isWholeGone(keyOfTest(portion));
    if (!isKept) count(portion.batch, 1);
    return isKept;
  });
  return { rows: letGo.size === 0 ? rows : { tests, portions }, letGo };
};

/** The ledger with what was let go counted, and without the refused rows of files first seen before the day. */
const ledgerKept = (
  files: readonly LedgerEntry[],
  letGo: ReadonlyMap<string, number>,
  { beforeDay, cutters }: LetGo,
): LedgerEntry[] => {
  const unnamed = withoutNames(cutters);
  return files.map((file) => {
    const lost = letGo.get(file.batch) ?? 0;
    const own = lost === 0 ? file : { ...file, letGo: (file.letGo ?? 0) + lost };
    if (file.rejects.length === 0) return own;
    if (file.firstSeenDay < beforeDay) return { ...own, rejects: [] };
    const rejects = file.rejects.map(unnamed);
    return rejects.some((reject, i) => reject !== file.rejects[i]) ? { ...own, rejects } : own;
  });
};

/** Rejects with the cutters who are to be forgotten left out of what was found and expected. */
const withoutNames = (cutters: ReadonlySet<string>): ((reject: Reject) => Reject) => {
  if (cutters.size === 0) return (reject) => reject;
  const names = [...cutters].map((name) => name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')).join('|');
  const named = new RegExp(`(?<![\\p{L}\\p{N}_-])(?:${names})(?![\\p{L}\\p{N}_-])`, 'gu');
  return (reject) => {
    const [found, expected] = [reject.found, reject.expected].map((text) => text.replace(named, '(removed)'));
    return found === reject.found && expected === reject.expected
      ? reject
      : { ...reject, found: found as string, expected: expected as string };
  };
};

/** Tables that tell of people. */
const peopleTables = new Set(['cutters', 'coaching']);

/**
 * The contents of reference tables still remembered: not those that another had replaced before the day, and of tables that
 * tell of people only the latest once a cutter is to be forgotten, which then stands for the earlier ones.
 */
const referenceEventsKept = (
  events: readonly ReferenceEvent[],
  { beforeDay, cutters }: LetGo,
): ReferenceEvent[] =>
  events.flatMap((event, place) => {
    const own = events.filter((other) => other.table === event.table);
    const later = own.filter(
      (other) =>
        other.seenDay > event.seenDay || (other.seenDay === event.seenDay && events.indexOf(other) > place),
    );
    if (later.some((other) => other.seenDay <= beforeDay)) return [];
    if (cutters.size === 0 || !peopleTables.has(event.table)) return [event];
    const [first] = own.map((other) => other.seenDay).sort((a, b) => a - b);
    return later.length > 0 ? [] : [{ ...event, seenDay: first as number }];
  });
