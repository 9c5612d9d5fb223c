import { type ChildProcess, spawn } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, readlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';

const newChain = (): string => {
  const folder = join(mkdtempSync(join(tmpdir(), 'once-')), 'chain');
  cpSync('test/cases/publishedSheets', folder, { recursive: true });
  return folder;
};
const start = (folder: string): ChildProcess =>
  spawn(process.execPath, ['dist/src/cli/main.js', 'run', folder, '--as-of', '2026-01-10', '--quiet'], {
    stdio: 'ignore',
  });
const ended = (run: ChildProcess): Promise<number | null> =>
  new Promise((resolve) => {
    if (run.exitCode !== null) resolve(run.exitCode);
    else run.once('exit', resolve);
  });
const until = async (isSo: () => boolean): Promise<void> => {
  for (let waited = 0; !isSo() && waited < 60_000; waited += 5)
    await new Promise((resolve) => setTimeout(resolve, 5));
};
/** The codes of a run that published: all well, rows rejected, or a store stale. */
const published = [0, 3, 4];
const isWhole = (folder: string): boolean =>
  existsSync(join(folder, readlinkSync(join(folder, 'current')), 'complete'));
const generation = (folder: string): number =>
  JSON.parse(readFileSync(join(folder, 'lake/manifest.json'), 'utf8')).generation;

describe('two runs of one chain', () => {
  it('at once: one publishes, the other ends with 75 or, when it comes later, publishes the same', async () => {
    for (let time = 0; time < 3; time++) {
      const folder = newChain();
      const codes = await Promise.all([start(folder), start(folder)].map(ended));
      for (const code of codes) expect([...published, 75]).toContain(code);
      expect(codes.some((code) => published.includes(code as number))).toBe(true);
      expect(isWhole(folder)).toBe(true);
      expect(readdirSync(join(folder, 'releases'))).toHaveLength(1);
      expect(generation(folder)).toBe(1);
      expect(existsSync(join(folder, 'lake/lock'))).toBe(false);
    }
  });

  it('while the first is paused: the second ends with 75, and the first, woken, publishes', async () => {
    const folder = newChain();
    const first = start(folder);
    await until(() => existsSync(join(folder, 'lake/lock')));
    first.kill('SIGSTOP');
    expect(await ended(start(folder))).toBe(75);
    first.kill('SIGCONT');
    expect(published).toContain(await ended(first));
    expect(isWhole(folder)).toBe(true);
  });

  it('after the first was killed: the second takes over without hands', async () => {
    const folder = newChain();
    const first = start(folder);
    await until(() => existsSync(join(folder, 'lake/lock')));
    first.kill('SIGKILL');
    await ended(first);
    expect(existsSync(join(folder, 'lake/lock'))).toBe(true);
    expect(published).toContain(await ended(start(folder)));
    expect(existsSync(join(folder, 'lake/lock'))).toBe(false);
    expect(isWhole(folder)).toBe(true);
  });
});
