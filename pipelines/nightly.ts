import type { Chain } from '../src/catalog/chain.ts';
import { readUnnameable } from '../src/ingest/readInbox.ts';
import { readUnknownReference } from '../src/ingest/readReferenceFiles.ts';
import { publish } from '../src/publish/publish.ts';
import { readCodeKey } from '../src/publish/readCodeKey.ts';
import { readClient, readPages } from '../src/publish/readPages.ts';
import { readCurrent, readResults } from '../src/publish/readRelease.ts';
import { writtenText } from '../src/publish/releaseFile.ts';
import { restated } from '../src/publish/restated.ts';
import { resultRows } from '../src/publish/results/resultRows.ts';
import { type NightReport, runSummary } from '../src/publish/runSummary.ts';
import type { PageCount } from '../src/publish/sitesInput.ts';
import { writeRelease } from '../src/publish/writeRelease.ts';
import { writeRun } from '../src/publish/writeRun.ts';
import { nowIso } from '../src/system/clock.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';
import { guardedFileSystem } from '../src/system/guardedFileSystem.ts';
import { takeLock } from '../src/system/runLock.ts';
import { stageClock } from '../src/system/stageClock.ts';
import { isoFromDay } from '../src/units/calendarDay.ts';
import { fitOnWorkers } from './fitOnWorkers.ts';
import { openInbox, takeIn } from './intake.ts';
import { judge } from './judge.ts';
import { readOnWorkers } from './readOnWorkers.ts';

export type Night = {
  chainFolder: string;
  chain: Chain;
  fs: FileSystem;
  asOfDay: number;
  dryRun: boolean;
  /** Read every file of the inbox again instead of the new ones. */
  rebuild?: { dropMissing: boolean };
  progress: (stage: string) => void;
  /** Told after each page that is drawn or taken over. */
  onPage?: (count: PageCount) => void;
  /** Threads that read files and fit items side by side, on the disk itself; more than 1 needs the compiled program. */
  jobs?: number;
};
/** What the night did; `summary` says it in words, every file with its counts. */
export type NightResult = NightReport & { summary: string[] };

/** The night: from the stores' files to one release, swapped whole. */
export const nightly = async (night: Night): Promise<NightResult> => {
  const { chain, chainFolder, asOfDay, jobs = 1 } = night;
  const { progress, stages } = stageClock(night.progress);
  const lock = night.dryRun ? undefined : takeLock(chainFolder, night.fs);
  const fs = lock === undefined ? night.fs : guardedFileSystem(night.fs, lock.confirm);
  try {
    const started = nowIso();
    progress('reading the inbox');
    const asked = { chainFolder, chain, fs, asOfDay, rebuild: night.rebuild };
    const opened = openInbox(asked);
    const intake = takeIn(asked, opened, await readOnWorkers(opened, jobs));
    const { measured, modeled, found, repairs } = await judge(intake.night, chain, asOfDay, {
      progress,
      fitAll: fitOnWorkers(jobs),
    });
    progress('drawing the pages');
    const client = readClient(fs);
    const { files, pages } = await publish({
      chain,
      asOfDay,
      measured,
      modeled,
      found,
      reference: intake.night.reference,
      intake: intake.intake,
      rejects: intake.rejects,
      repairs,
      codeKey: readCodeKey(chainFolder, chain, fs),
      client,
      previous: readPages(chainFolder, client.program, fs),
      onPage: night.onPage,
    });
    const summary = {
      filesIngested: intake.filesIngested,
      intake: intake.intake,
      rejects: intake.rejects,
      tests: measured.tests.numRows(),
      ...(intake.rerun === undefined
        ? {}
        : { rerun: { left: intake.rerun.left, latestDay: isoFromDay(intake.rerun.latestDay) } }),
      unread: [...readUnknownReference(chainFolder, fs), ...readUnnameable(chainFolder, fs)],
      pages,
      staleStores: found.stores.filter((store) => store.silent || store.sentButOld).length,
      unfit: modeled.effects.filter((row) => row.status === 'not-converged').length,
      restated: restated(
        readResults(readCurrent(chainFolder, fs), 'tests', fs),
        resultRows(writtenText(files.get('results/tests.csv'))),
        intake.firstDay,
      ),
    };
    if (night.dryRun) return told({ release: '', changed: false, ...summary });
    progress('writing');
    intake.commit();
    const kept = { beforeDay: intake.firstDay, most: chain.retention.releases };
    const written = writeRelease(chainFolder, { day: isoFromDay(asOfDay), files, kept }, fs);
    const report = { release: `releases/${written.id}`, changed: written.changed, ...summary };
    writeRun(chainFolder, { ...report, started, ended: nowIso(), stages: stages() }, fs);
    return told(report);
  } finally {
    lock?.();
  }
};

const told = (report: NightReport): NightResult => ({
  ...report,
  summary: runSummary(report, report.intake.length),
});
