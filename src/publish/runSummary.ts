import type { IntakeRow, Reject } from '../ingest/ingested.ts';
import { counted, countedTests } from '../units/counted.ts';
import type { RestatedTest } from './restated.ts';
import type { PageCount } from './sitesInput.ts';

/** What one night did, as reported at its end. `release` is '' for a dry run. */
export type NightReport = {
  release: string;
  changed: boolean;
  filesIngested: number;
  tests: number;
  pages: PageCount;
  staleStores: number;
  unfit: number;
  intake: readonly IntakeRow[];
  rejects: readonly Reject[];
  /** Tests whose published figures another version or a withdrawal changed. */
  restated: readonly RestatedTest[];
  /** Files that nobody read, for their names: none of the reference tables, or no UTF-8. */
  unread: readonly string[];
  /** Of a night for a day before the latest one: that day, and the new files it left for the next night. */
  rerun?: { latestDay: string; left: readonly string[] };
};

const mostCodes = 11;
const mostFound = 60;
const mostNamed = 10;

/**
 * A night in words, for the terminal and runs/<run>/summary.txt alike: counts per file that add up (files with trouble
 * first, at most `mostFiles`), all files together, rejects by code, and the release.
 */
export const runSummary = (report: NightReport, mostFiles: number): string[] => {
  const isTroubled = (row: IntakeRow): boolean => row.rejected > 0 || row.state !== 'ingested';
  const files = [...report.intake.filter(isTroubled), ...report.intake.filter((row) => !isTroubled(row))];
  const left = files.length - mostFiles;
  return [
    ...files
      .slice(0, mostFiles)
      .map((row) => `${countsLine(row.file, [row], row.state)}${whyWhole(row, report.rejects)}`),
    ...(left > 0 ? [`and ${left} more files; see results/intake.csv`] : []),
    countsLine('all files', files, 'ingested'),
    `${counted(report.filesIngested, 'file')} ingested, ${countedTests(report.tests)} in force, ${counted(report.staleStores, 'store')} silent or with old sheets only, ${counted(report.unfit, 'effect')} not converged`,
    `${report.pages.of} pages: ${report.pages.drawn} drawn, ${report.pages.takenOver} taken over unchanged`,
    ...restatedLines(report),
    ...unreadLine(report.unread),
    ...rerunLines(report.rerun),
    ...codeLines(report.rejects),
    report.release === ''
      ? 'dry run: nothing written'
      : `${report.changed ? 'new' : 'unchanged'} release ${report.release}`,
  ];
};

/** Against the release in force: a night restates what was sent again or withdrawn, a rerun goes back to what was there. */
const restatedLines = ({ restated, rerun }: NightReport): string[] => {
  const said = (count: number, one: string, more: string): string[] =>
    count === 0 ? [] : [`${countedTests(count)} ${count === 1 ? one : more}; see runs/<run>/manifest.json`];
  const restatedBy = 'restated by a later version or withdrawn';
  if (rerun === undefined) return said(restated.length, restatedBy, restatedBy);
  const later = restated.filter(({ now }) => now === '').length;
  const before = (what: string): string => `of the release before ${what}`;
  return [
    ...said(later, before('was not there yet on that day'), before('were not there yet on that day')),
    ...said(
      restated.length - later,
      before('is told by the version of that day'),
      before('are told by the versions of that day'),
    ),
  ];
};

/** What was not there on a past day is not taken in when it is run again. */
const rerunLines = (rerun: NightReport['rerun']): string[] => {
  if (rerun === undefined) return [];
  const { latestDay, left } = rerun;
  return [
    `rerun of a past day (the latest night was for ${latestDay}): ${left.length === 0 ? 'nothing new was there to leave' : `${counted(left.length, 'new file')} left for the next night: ${named(left)}`}`,
  ];
};

const named = (paths: readonly string[]): string =>
  [...paths.slice(0, mostNamed).map(visible), ...(paths.length > mostNamed ? ['...'] : [])].join(', ');

/** A table under another name would be missed by nobody but the figures. */
const unreadLine = (unread: readonly string[]): string[] =>
  unread.length === 0
    ? []
    : [`not read, for their names (no reference table has it, or it is not UTF-8): ${named(unread)}`];

/** Why a file was set aside whole and what to do: none of its rows is below rejects/, where one would look for it. */
const whyWhole = (row: IntakeRow, rejects: readonly Reject[]): string => {
  const first = row.state === 'ingested' ? undefined : rejects.find((one) => one.sourceFile === row.file);
  return first === undefined
    ? ''
    : `: line ${first.sourceLine}, found ${visible(first.found).slice(0, mostFound)}, expected ${first.expected}. ${first.remedy}`;
};

const countsLine = (name: string, rows: readonly IntakeRow[], state: string): string => {
  const of = (pick: (row: IntakeRow) => number): number => rows.reduce((sum, row) => sum + pick(row), 0);
  const parts = [
    `${of((row) => row.accepted)} accepted`,
    `${of((row) => row.rejected)} rejected`,
    `${of((row) => row.blank)} blank`,
    `${of((row) => row.ignored)} ignored`,
    `${of((row) => row.duplicate)} duplicate`,
    `${of((row) => row.superseded)} superseded`,
  ];
  const read = of((row) => row.rowsRead);
  const note = state === 'ingested' ? (read === 0 ? ' (no rows)' : '') : ` (${state})`;
  const [rejected, owed] = [of((row) => row.rejected), of((row) => row.owed)];
  const settled = owed < rejected ? `; of the rejected ${rejected - owed} settled, ${owed} owed` : '';
  return `${visible(name)}: ${counted(read, 'row')} read = ${parts.join(' + ')}${note}${settled}`;
};

/** A file's name on one line: characters that nobody sees are shown as ?, so that no name can forge a line. */
const visible = (name: string): string => name.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu, '?');

/** Rejects by code, the most frequent first. */
export const rejectedByCode = (rejects: readonly Reject[]): [string, number][] => {
  const byCode = new Map<string, number>();
  for (const reject of rejects) byCode.set(reject.code, (byCode.get(reject.code) ?? 0) + 1);
  return [...byCode].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1));
};

const codeLines = (rejects: readonly Reject[]): string[] => {
  const codes = rejectedByCode(rejects);
  return [
    ...(codes.length === 0
      ? []
      : [`${counted(rejects.length, 'reject')}; the rows to mend are below rejects/`]),
    ...codes.slice(0, mostCodes).map(([code, count]) => `  ${code}: ${count}`),
  ];
};
