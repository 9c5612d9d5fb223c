import type { IntakeRow, Reject } from '../ingest/ingested.ts';
import type { FileSystem } from '../system/fileSystem.ts';

export type RunRecord = {
  started: string;
  ended: string;
  release: string;
  changed: boolean;
  filesIngested: number;
  tests: number;
  staleStores: number;
  unfit: number;
  intake: readonly IntakeRow[];
  rejects: readonly Reject[];
};

const shownFiles = 20;

/** Writes runs/<run>/manifest.json and summary.txt (at most 40 lines): the only place where the clock shows. */
export const writeRun = (chainFolder: string, run: RunRecord, fs: FileSystem): void => {
  const folder = `${chainFolder}/runs/${run.started.replaceAll(':', '')}`;
  const { rejects, ...rest } = run;
  fs.replace(
    `${folder}/manifest.json`,
    `${JSON.stringify({ ...rest, rejected: rejects.length }, null, 1)}\n`,
  );
  fs.replace(`${folder}/summary.txt`, `${summaryLines(run).join('\n')}\n`);
};

/** What a run says at its end: counts per file that add up, worst first, and rejects by code. */
const summaryLines = (
  run: Pick<RunRecord, 'release' | 'filesIngested' | 'tests' | 'intake' | 'rejects'>,
): string[] => {
  const total = (pick: (row: IntakeRow) => number): number =>
    run.intake.reduce((sum, row) => sum + pick(row), 0);
  const line = (name: string, of: (pick: (row: IntakeRow) => number) => number): string =>
    `${name}: ${of((r) => r.rowsRead)} rows read = ${of((r) => r.accepted)} accepted + ${of((r) => r.rejected)} rejected + ${of((r) => r.blank)} blank + ${of((r) => r.ignored)} ignored + ${of((r) => r.duplicate)} duplicate + ${of((r) => r.superseded)} superseded`;
  const byCode = new Map<string, number>();
  for (const reject of run.rejects) byCode.set(reject.code, (byCode.get(reject.code) ?? 0) + 1);
  const troubled = run.intake.filter((row) => row.rejected > 0 || row.state !== 'ingested');
  return [
    `release ${run.release}; ${run.filesIngested} files ingested; ${run.tests} tests in force`,
    line('all files', total),
    ...troubled.slice(0, shownFiles).map((row) => line(`${row.file} (${row.state})`, (pick) => pick(row))),
    ...(troubled.length > shownFiles
      ? [`and ${troubled.length - shownFiles} more files with rejected rows; see results/intake.csv`]
      : []),
    ...[...byCode]
      .sort()
      .slice(0, 15)
      .map(([code, count]) => `${code}: ${count}`),
  ];
};
