import { cpSync, existsSync, mkdtempSync, readFileSync, readlinkSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { nightly } from '../../pipelines/nightly.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { diskFileSystem, type FileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

const changing = [
  'makeFolder',
  'write',
  'copy',
  'replace',
  'rename',
  'remove',
  'createNew',
  'pointLink',
] as const;

/** The disk until the given number of changes were made; then every further change fails, as when the machine goes down. */
const diskFor = (changes: number): { fs: FileSystem; made: () => number } => {
  let made = 0;
  const fs = { ...diskFileSystem };
  for (const name of changing) {
    const change = diskFileSystem[name] as (...given: unknown[]) => unknown;
    Object.assign(fs, {
      [name]: (...given: unknown[]) => {
        made += 1;
        if (made > changes) throw new Error('the machine went down');
        return change(...given);
      },
    });
  }
  return { fs, made: () => made };
};

describe('a night cut off after any change to the disk', () => {
  let start: string;
  let before: string;
  let tests = 0;
  let changes = 0;
  const copy = (): string => {
    const folder = join(mkdtempSync(join(tmpdir(), 'cut-')), 'chain');
    cpSync(start, folder, { recursive: true, verbatimSymlinks: true });
    return folder;
  };
  const run = (chainFolder: string, fs: FileSystem) =>
    nightly({
      chainFolder,
      chain: readChain(chainFolder, diskFileSystem),
      fs,
      asOfDay: dayFromIso('2026-01-10'),
      dryRun: false,
      progress: () => {},
    });

  beforeAll(async () => {
    start = join(mkdtempSync(join(tmpdir(), 'cut-')), 'chain');
    cpSync('test/cases/publishedSheets', start, { recursive: true });
    const first = await run(start, diskFileSystem);
    before = first.release;
    tests = first.tests;
    const more = readFileSync(join(start, 'inbox/sheets.csv'), 'utf8').replaceAll(/^E/gm, 'F');
    writeFileSync(join(start, 'inbox/more.csv'), more);
    const whole = diskFor(Number.POSITIVE_INFINITY);
    await run(copy(), whole.fs);
    changes = whole.made();
  });

  it('leaves the old or the new release in force, whole; the next night needs no hands', async () => {
    expect(changes).toBeGreaterThan(30);
    const cuts = fc.sample(fc.integer({ min: 0, max: changes - 1 }), { numRuns: 12, seed: 20261123 });
    for (const cut of [...cuts, 0, changes - 1, changes - 3, changes - 6]) {
      const folder = copy();
      await expect(run(folder, diskFor(cut).fs)).rejects.toThrow('the machine went down');
      const current = readlinkSync(join(folder, 'current'));
      expect(existsSync(join(folder, current, 'complete'))).toBe(true);
      rmSync(join(folder, 'lake/lock'), { force: true });
      const next = await run(folder, diskFileSystem);
      expect(next.tests).toBe(2 * tests);
      if (current !== before) expect(next.release).toBe(current);
    }
  });
});
