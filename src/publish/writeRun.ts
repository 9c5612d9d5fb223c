import pino from 'pino';
import type { FileSystem } from '../system/fileSystem.ts';
import type { StageTime } from '../system/stageClock.ts';
import { type NightReport, rejectedByCode, runSummary } from './runSummary.ts';

export type RunRecord = NightReport & { started: string; ended: string; stages: readonly StageTime[] };

const filesShown = 20;

/** Writes runs/<run>/ manifest.json, summary.txt (at most 40 lines) and log.ndjson: the only place where clock and host show. */
export const writeRun = (chainFolder: string, run: RunRecord, fs: FileSystem): void => {
  const folder = `${chainFolder}/runs/${run.started.replaceAll(':', '')}`;
  const { rejects, stages, ...rest } = run;
  const rows = run.intake.reduce((sum, row) => sum + row.rowsRead, 0);
  const manifest = {
    ...rest,
    rejected: rejects.length,
    rejectedByCode: Object.fromEntries(rejectedByCode(rejects)),
    stages: Object.fromEntries(
      stages.map(({ stage, seconds }, i) => [
        stage,
        i === 0 ? { seconds, rows, files: run.intake.length } : { seconds, rows: run.tests },
      ]),
    ),
  };
  fs.replace(`${folder}/manifest.json`, `${JSON.stringify(manifest, null, 1)}\n`);
  fs.replace(`${folder}/summary.txt`, `${runSummary(run, filesShown).join('\n')}\n`);
  fs.replace(`${folder}/log.ndjson`, logLines(run).join(''));
};

/** One line a stage, one for the pages, one a troubled file and the release, as JSON. */
const logLines = (run: RunRecord): string[] => {
  const lines: string[] = [];
  const log = pino({ timestamp: false }, { write: (line: string) => lines.push(line) });
  for (const { stage, startedMs, seconds } of run.stages)
    log.info({ time: startedMs, stage, seconds }, 'stage');
  log.info(run.pages, 'pages');
  for (const row of run.intake) {
    const { file, state, rowsRead, rejected } = row;
    if (state !== 'ingested' || rejected > 0) log.warn({ file, state, rowsRead, rejected }, 'file');
  }
  for (const [code, count] of rejectedByCode(run.rejects)) log.warn({ code, count }, 'rejects');
  if (run.rerun !== undefined) log.info(run.rerun, 'rerun');
  const moved = run.rerun === undefined ? 'restated' : 'as of the day run again';
  for (const { store, testId, was, now } of run.restated) log.info({ store, testId, was, now }, moved);
  const { release, changed, tests, staleStores, unfit } = run;
  log.info({ ended: run.ended, release, changed, tests, staleStores, unfit }, 'release');
  return lines;
};
