import { CommanderError } from 'commander';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';

const readingCalls = new Set(['read', 'scandir', 'stat', 'lstat', 'readlink']);
/** Files being written carry these in their names until they are whole (system/fileSystem, publish/writeRelease). */
const beingWritten = /[.](new|building)\b/;

/** The exit code of a failure and what to print for it; '' where it was printed already. Only our own bugs show a stack. */
export const failure = (error: unknown): { exitCode: number; message: string } => {
  if (error instanceof CommanderError)
    return { exitCode: error.exitCode === 0 ? exitCodes.ok : exitCodes.usage, message: '' };
  if (error instanceof OperatorError) return { exitCode: error.exitCode, message: error.message };
  const failed = error as NodeJS.ErrnoException & { dest?: string };
  if (failed.syscall === undefined)
    return {
      exitCode: exitCodes.bug,
      message: `this is our bug, please report it\n${failed instanceof Error ? failed.stack : String(error)}`,
    };
  const isReading =
    readingCalls.has(failed.syscall) || (failed.syscall === 'open' && !beingWritten.test(failed.path ?? ''));
  return {
    exitCode: isReading ? exitCodes.cannotRead : exitCodes.cannotWrite,
    message: `cannot ${isReading ? 'read' : 'write'} ${failed.dest ?? failed.path ?? ''}: ${failed.code} (${failed.syscall})`,
  };
};
