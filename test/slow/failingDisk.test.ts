import { cpSync, existsSync, mkdtempSync, readFileSync, readlinkSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { nightly } from '../../pipelines/nightly.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { failure } from '../../src/cli/failure.ts';
import { diskFileSystem, type FileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

// Every call of a night fails once, with one fault after the other in turn; with all three each:
//   EVERY_FAULT=1 npx vitest run --config .config/vitest.all.ts test/slow/failingDisk.test.ts
const faults = ['ENOSPC', 'EACCES', 'EIO'];
const isEveryFault = process.env['EVERY_FAULT'] !== undefined;
/** Two nights for each fault of each call, also on a machine that has other work. */
const patience = isEveryFault ? 3_600_000 : 900_000;

/** The system call that fails in each call, and the exit code that the README gives for it. */
const callOf: Record<keyof FileSystem, { syscall: string; exitCode: number }> = {
  list: { syscall: 'scandir', exitCode: 74 },
  exists: { syscall: 'stat', exitCode: 74 },
  stat: { syscall: 'stat', exitCode: 74 },
  readBytes: { syscall: 'open', exitCode: 74 },
  readText: { syscall: 'read', exitCode: 74 },
  readLink: { syscall: 'readlink', exitCode: 74 },
  names: { syscall: 'scandir', exitCode: 74 },
  makeFolder: { syscall: 'mkdir', exitCode: 73 },
  write: { syscall: 'write', exitCode: 73 },
  copy: { syscall: 'copyfile', exitCode: 73 },
  replace: { syscall: 'write', exitCode: 73 },
  rename: { syscall: 'rename', exitCode: 73 },
  remove: { syscall: 'unlink', exitCode: 73 },
  createNew: { syscall: 'write', exitCode: 73 },
  pointLink: { syscall: 'symlink', exitCode: 73 },
  settle: { syscall: 'fsync', exitCode: 73 },
};

/** The disk whose call number `failing` fails; `made` gives the calls so far. */
const diskWith = (failing: number, code: string): { fs: FileSystem; made: string[] } => {
  const made: string[] = [];
  const fs = { ...diskFileSystem };
  for (const name of Object.keys(diskFileSystem) as (keyof FileSystem)[]) {
    const call = diskFileSystem[name] as (...given: unknown[]) => unknown;
    Object.assign(fs, {
      [name]: (...given: unknown[]) => {
        made.push(name);
        if (made.length - 1 !== failing) return call(...given);
        const { syscall } = callOf[name];
        throw Object.assign(new Error(`${code}: ${syscall}`), { code, syscall, path: String(given[0]) });
      },
    });
  }
  return { fs, made };
};

describe('a night on a disk that fails', () => {
  let start: string;
  let before: string;
  let after: string;
  let calls: string[] = [];
  const copy = (): string => {
    const folder = join(mkdtempSync(join(tmpdir(), 'fail-')), 'chain');
    cpSync(start, folder, { recursive: true, verbatimSymlinks: true, preserveTimestamps: true });
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
    start = join(mkdtempSync(join(tmpdir(), 'fail-')), 'chain');
    cpSync('test/cases/publishedSheets', start, { recursive: true });
    before = (await run(start, diskFileSystem)).release;
    const more = readFileSync(join(start, 'inbox/sheets.csv'), 'utf8').replaceAll(/^E/gm, 'F');
    writeFileSync(join(start, 'inbox/more.csv'), `${more.trimEnd()}\nG1,s,c,not a day\n`);
    const whole = diskWith(-1, '');
    after = (await run(copy(), whole.fs)).release;
    calls = whole.made;
  });

  it(
    'ends with the documented exit code, old or new release in force and whole, and the next night puts all right',
    async () => {
      expect(new Set(calls).size).toBeGreaterThan(10);
      expect(after).not.toBe(before);
      let runs = 0;
      for (const [call, name] of calls.entries()) {
        for (const code of isEveryFault ? faults : [faults[call % faults.length] as string]) {
          const folder = copy();
          const failed = await run(folder, diskWith(call, code).fs).then(
            () => undefined,
            (error: unknown) => failure(error).exitCode,
          );
          const where = `${code} at call ${call} (${name})`;
          if (failed !== undefined) expect(failed, where).toBe(callOf[name as keyof FileSystem].exitCode);
          const current = readlinkSync(join(folder, 'current'));
          expect([before, after], where).toContain(current);
          if (failed === undefined) expect(current, where).toBe(after);
          expect(existsSync(join(folder, current, 'complete')), where).toBe(true);
          // the process that failed would be gone; here it is this one
          rmSync(join(folder, 'lake/lock'), { force: true });
          expect((await run(folder, diskFileSystem)).release, where).toBe(after);
          rmSync(folder, { recursive: true });
          runs++;
        }
      }
      console.log(`${calls.length} calls, ${runs} nights with one of them failing: none mixed, none lost`);
    },
    patience,
  );
});
