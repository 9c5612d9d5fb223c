import type { Chain } from '../src/catalog/chain.ts';
import type { IntakeRow, Reject } from '../src/ingest/ingested.ts';
import { publish } from '../src/publish/publish.ts';
import { readCodeKey } from '../src/publish/readCodeKey.ts';
import { readClient, readPages } from '../src/publish/readPages.ts';
import { writeRelease } from '../src/publish/writeRelease.ts';
import { writeRun } from '../src/publish/writeRun.ts';
import { nowIso } from '../src/system/clock.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';
import { takeLock } from '../src/system/runLock.ts';
import { isoFromDay } from '../src/units/calendarDay.ts';
import { takeIn } from './intake.ts';
import { judge } from './judge.ts';

export type Night = {
  chainFolder: string;
  chain: Chain;
  fs: FileSystem;
  asOfDay: number;
  dryRun: boolean;
  progress: (stage: string) => void;
};
export type NightResult = {
  release: string;
  changed: boolean;
  filesIngested: number;
  intake: IntakeRow[];
  rejects: Reject[];
  tests: number;
  staleStores: number;
  unfit: number;
};

/** The night: from the stores' files to one release, swapped whole. */
export const nightly = async (night: Night): Promise<NightResult> => {
  const { chain, chainFolder, fs, asOfDay, progress } = night;
  const release = night.dryRun ? () => {} : takeLock(chainFolder, fs);
  try {
    const started = nowIso();
    progress('reading the inbox');
    const intake = takeIn({ chainFolder, chain, fs, asOfDay });
    const { measured, modeled, found } = judge(intake.night, chain, asOfDay, progress);
    progress('drawing the pages');
    const client = readClient(fs);
    const files = await publish({
      chain,
      asOfDay,
      measured,
      modeled,
      found,
      reference: intake.night.reference,
      intake: intake.intake,
      rejects: intake.rejects,
      codeKey: readCodeKey(chainFolder, chain, fs),
      client,
      previous: readPages(chainFolder, client.program, fs),
    });
    const summary = {
      filesIngested: intake.filesIngested,
      intake: intake.intake,
      rejects: intake.rejects,
      tests: measured.tests.numRows(),
      staleStores: found.stores.filter((store) => store.silent).length,
      unfit: modeled.effects.filter((row) => row.status === 'not-converged').length,
    };
    if (night.dryRun) return { release: '', changed: false, ...summary };
    intake.commit();
    const written = writeRelease(chainFolder, isoFromDay(asOfDay), files, fs);
    writeRun(
      chainFolder,
      { started, ended: nowIso(), release: written.id, changed: written.changed, ...summary },
      fs,
    );
    return { release: `releases/${written.id}`, changed: written.changed, ...summary };
  } finally {
    release();
  }
};
