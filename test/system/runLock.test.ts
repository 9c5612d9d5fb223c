import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { diskFileSystem, type FileSystem } from '../../src/system/fileSystem.ts';
import { takeLock } from '../../src/system/runLock.ts';

const newChain = (): { chain: string; lock: string } => {
  const chain = mkdtempSync(join(tmpdir(), 'lock-'));
  mkdirSync(join(chain, 'lake'));
  return { chain, lock: join(chain, 'lake/lock') };
};
/** The number of a process that has ended. */
const deadProcess = (): number => spawnSync(process.execPath, ['-e', '']).pid;
const deadHolder = (): string =>
  JSON.stringify({ pid: deadProcess(), born: '1', host: hostname(), token: 'dead' });

describe('takeLock', () => {
  it('lets one run in, refuses the next with exit code 75, and lets it in after the release', () => {
    const { chain, lock } = newChain();
    const release = takeLock(chain, diskFileSystem);
    release.confirm();
    expect(() => takeLock(chain, diskFileSystem)).toThrow(expect.objectContaining({ exitCode: 75 }));
    release();
    expect(existsSync(lock)).toBe(false);
    takeLock(chain, diskFileSystem)();
    expect(readdirSync(join(chain, 'lake'))).toEqual([]);
  });
  it('takes over from a process that is gone, from one whose number was given again, and from a torn file', () => {
    const again = JSON.stringify({ pid: process.pid, born: '1', host: hostname(), token: 'old' });
    for (const left of [deadHolder(), again, '', '{"pid":']) {
      const { chain, lock } = newChain();
      writeFileSync(lock, left);
      const release = takeLock(chain, diskFileSystem);
      expect(JSON.parse(readFileSync(lock, 'utf8')).pid).toBe(process.pid);
      release();
    }
  });
  it('does not judge holders on another machine', () => {
    const { chain, lock } = newChain();
    writeFileSync(lock, JSON.stringify({ pid: 1, born: '', host: 'elsewhere', token: 't' }));
    expect(() => takeLock(chain, diskFileSystem)).toThrow(/elsewhere/);
  });
  it('puts a live lock back that another run took between the look and the move', () => {
    const { chain, lock } = newChain();
    writeFileSync(lock, deadHolder());
    const taken = JSON.stringify({ pid: process.pid, born: '', host: hostname(), token: 'other run' });
    const racing: FileSystem = {
      ...diskFileSystem,
      rename: (from, to) => {
        if (from === lock) writeFileSync(lock, taken);
        diskFileSystem.rename(from, to);
      },
    };
    expect(() => takeLock(chain, racing)).toThrow(expect.objectContaining({ exitCode: 75 }));
    expect(readFileSync(lock, 'utf8')).toBe(taken);
  });
  it('tells a holder that was held up that the lock is lost, and leaves the new one alone', () => {
    const { chain, lock } = newChain();
    const release = takeLock(chain, diskFileSystem);
    writeFileSync(lock, 'another run');
    expect(() => release.confirm()).toThrow(expect.objectContaining({ exitCode: 75 }));
    release();
    expect(readFileSync(lock, 'utf8')).toBe('another run');
  });
});
