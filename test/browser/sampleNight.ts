import { mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { nightly } from '../../pipelines/nightly.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

export type NightFiles = Map<string, Buffer>;

/** The files of the sample chain by path; of the stores' files only those that end as told. */
export const sampleFiles = (endings: readonly string[] = ['.csv']): NightFiles => {
  const below = (folder: string): string[] =>
    readdirSync(join('sample-data', folder), { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.csv'))
      .map((name) => `${folder}/${name}`);
  const inbox = below('inbox').filter((name) => endings.some((ending) => name.endsWith(ending)));
  return new Map(
    [...inbox, ...below('reference'), 'chain.yaml'].map((name) => [
      name,
      readFileSync(join('sample-data', name)),
    ]),
  );
};

/** One night run over the files in a folder of its own; returns the chain's folder. */
export const nightOver = async (files: NightFiles): Promise<string> => {
  const folder = join(mkdtempSync(join(tmpdir(), 'night-')), 'chain');
  for (const [name, bytes] of files) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), bytes);
  }
  await nightly({
    chainFolder: folder,
    chain: readChain(folder, diskFileSystem),
    fs: diskFileSystem,
    asOfDay: dayFromIso('2026-11-23'),
    dryRun: false,
    progress: () => {},
  });
  return folder;
};
