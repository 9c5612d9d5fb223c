import { randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import type { FileSystem } from './fileSystem.ts';

/** Who holds a lock. `born` tells a process from a later one of the same number; `token` tells two takings apart. */
type Holder = { pid: number; born?: string; host: string; token?: string };
/** Called, it releases. `confirm` throws OperatorError (75) when the lock is lost; asked right before anything is swapped. */
export type RunLock = (() => void) & { confirm: () => void };

/** Ticks since boot at which a process started, from /proc; '' where the system does not say, undefined when it is gone. */
const bornAt = (pid: number): string | undefined => {
  try {
    process.kill(pid, 0);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EPERM') return undefined;
  }
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    return fields[0] === 'Z' ? undefined : (fields[19] ?? '');
  } catch {
    return '';
  }
};

const isAlive = ({ pid, born }: Holder): boolean => {
  const found = bornAt(pid);
  // without a known start on either side the number alone has to do
  return found !== undefined && (found === '' || born === undefined || born === '' || found === born);
};

const holderOf = (text: string): Holder | undefined => {
  try {
    return JSON.parse(text) as Holder;
  } catch {
    return undefined;
  }
};

const heldBy = (path: string, { pid, host }: Pick<Holder, 'pid' | 'host'>): OperatorError =>
  host === hostname()
    ? new OperatorError(`another run (process ${pid}) holds ${path}; wait for it`, exitCodes.locked)
    : new OperatorError(
        `another run holds ${path} on ${host}; remove the file if that machine is gone`,
        exitCodes.locked,
      );

/**
 * Takes the chain's one lock; OperatorError (75) when another run holds it. The lock of a process that is gone from this
 * machine is taken over: it is moved aside by rename, which only one of several can do, and looked at again there; a live
 * one moved by mistake is put back. What is left of the race is caught by `confirm` before the swap.
 */
export const takeLock = (chainFolder: string, fs: FileSystem): RunLock => {
  const path = `${chainFolder}/lake/lock`;
  fs.makeFolder(`${chainFolder}/lake`);
  const token = randomUUID();
  const mine = JSON.stringify({ pid: process.pid, born: bornAt(process.pid) ?? '', host: hostname(), token });
  if (!fs.createNew(path, mine)) {
    takeOver(path, token, fs);
    if (!fs.createNew(path, mine)) throw heldBy(path, { pid: 0, host: hostname() });
  }
  const isMine = (): boolean => fs.exists(path) && fs.readText(path) === mine;
  const release = (): void => {
    if (isMine()) fs.remove(path);
  };
  const confirm = (): void => {
    if (!isMine())
      throw new OperatorError(
        `this run lost ${path} to another while it was held up; nothing was changed`,
        exitCodes.locked,
      );
  };
  return Object.assign(release, { confirm });
};

const takeOver = (path: string, token: string, fs: FileSystem): void => {
  const judged = fs.exists(path) ? fs.readText(path) : '';
  const holder = holderOf(judged);
  if (holder !== undefined && (holder.host !== hostname() || isAlive(holder))) throw heldBy(path, holder);
  const aside = `${path}.${token}`;
  try {
    fs.rename(path, aside);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return;
    throw error;
  }
  const moved = fs.readText(aside);
  if (moved !== judged) {
    fs.createNew(path, moved);
    fs.remove(aside);
    throw heldBy(path, holderOf(moved) ?? { pid: 0, host: hostname() });
  }
  fs.remove(aside);
};
