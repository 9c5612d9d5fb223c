import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { IntakeInput, OpenedInbox } from '../../pipelines/intake.ts';
import type { AnsweredFile } from '../../pipelines/newFiles.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { failure } from '../../src/cli/failure.ts';
import { exitCodes } from '../../src/faults/operatorError.ts';
import { diskFileSystem as fs } from '../../src/system/fileSystem.ts';
import { cleanHeader, cleanRows, newChainFolder } from '../pipelines/chainFolder.ts';

// worker threads run the compiled program
const compiled = async <T>(path: string): Promise<T> =>
  (await import(new URL(`../../dist/${path}`, import.meta.url).href)) as T;
const { openInbox } = await compiled<{ openInbox: (input: IntakeInput) => OpenedInbox }>(
  'pipelines/intake.js',
);
const { readAsked } = await compiled<typeof import('../../pipelines/newFiles.ts')>('pipelines/newFiles.js');
const { readOnWorkers } = await compiled<{
  readOnWorkers: (opened: OpenedInbox, jobs: number) => Promise<AnsweredFile[] | undefined>;
}>('pipelines/readOnWorkers.js');

/** Files of about a megabyte, ten of them, each with tests of its own, a refused row, and one that is no table. */
const opened = (): { folder: string; opened: OpenedInbox } => {
  const times = Math.ceil(1e6 / cleanRows.join('\n').length);
  const body = (file: number): string[] =>
    Array.from({ length: times }, (_, copy) => cleanRows.map((row) => `${file}-${copy}-${row}`)).flat();
  const inbox = Object.fromEntries(
    Array.from({ length: 10 }, (_, file) => [
      `store-${file}.csv`,
      file === 3 ? 'no table\n' : [cleanHeader, ...body(file), 'broken'].join('\n'),
    ]),
  );
  const folder = newChainFolder(inbox);
  return {
    folder,
    opened: openInbox({ chainFolder: folder, chain: readChain(folder, fs), fs, asOfDay: 20_780 }),
  };
};

describe('files read on workers', () => {
  it('are the same as in one thread, for any number of jobs', async () => {
    const { opened: own } = opened();
    const alone = own.asked.map((one) => readAsked(one, own.setting, fs));
    expect(alone.filter(({ state }) => state === 'read')).toHaveLength(10);
    expect(alone.some((one) => one.state === 'read' && one.read.rejectsFile.rejects.length > 0)).toBe(true);
    expect(await readOnWorkers(own, 1)).toBeUndefined();
    expect(await readOnWorkers(own, 2)).toEqual(alone);
    expect(await readOnWorkers(own, 3)).toEqual(alone);
  });
  it('that cannot be read end the night as one thread would', async () => {
    const { folder, opened: own } = opened();
    rmSync(join(folder, 'inbox/store-5.csv'));
    const error = await readOnWorkers(own, 2).catch((thrown: unknown) => thrown);
    expect(failure(error)).toEqual({
      exitCode: exitCodes.cannotRead,
      message: `cannot read ${folder}/inbox/store-5.csv: ENOENT (open)`,
    });
  });
});
