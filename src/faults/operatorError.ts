/** Exit codes of the command line; 64-78 follow the BSD sysexits convention. */
export const exitCodes = {
  ok: 0,
  rowsRejected: 3,
  staleOrUnfit: 4,
  usage: 64,
  noInput: 66,
  bug: 70,
  cannotWrite: 73,
  cannotRead: 74,
  locked: 75,
  chainFile: 78,
} as const;

/** A mistake of the operator's: one line that says what is wrong, where and what to do; never a stack. */
export class OperatorError extends Error {
  readonly exitCode: number;
  constructor(message: string, exitCode: number) {
    super(message);
    this.name = 'OperatorError';
    this.exitCode = exitCode;
  }
}
