import { hostname } from 'node:os';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import type { FileSystem } from './fileSystem.ts';

const isAlive = (pid: number): boolean => {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
};

/** Takes the chain's one lock, taking over that of a dead process on this machine; OperatorError (75) when held. Returns its release. */
export const takeLock = (chainFolder: string, fs: FileSystem): (() => void) => {
  const path = `${chainFolder}/lake/lock`;
  fs.makeFolder(`${chainFolder}/lake`);
  const mine = JSON.stringify({ pid: process.pid, host: hostname() });
  if (!fs.createNew(path, mine)) {
    const holder = JSON.parse(fs.readText(path) || '{"pid":0,"host":""}') as { pid: number; host: string };
    if (holder.host !== hostname() && holder.host !== '')
      throw new OperatorError(
        `another run holds ${path} on ${holder.host}; remove the file if that machine is gone`,
        exitCodes.locked,
      );
    if (holder.pid > 0 && isAlive(holder.pid))
      throw new OperatorError(
        `another run (process ${holder.pid}) holds ${path}; wait for it`,
        exitCodes.locked,
      );
    fs.remove(path);
    if (!fs.createNew(path, mine))
      throw new OperatorError(`another run took ${path} first; wait for it`, exitCodes.locked);
  }
  return () => fs.remove(path);
};
