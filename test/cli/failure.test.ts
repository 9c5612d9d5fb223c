import { describe, expect, it } from 'vitest';
import { failure } from '../../src/cli/failure.ts';
import { OperatorError } from '../../src/faults/operatorError.ts';

const onDisk = (syscall: string, path: string, code = 'EACCES'): Error =>
  Object.assign(new Error(`${code}: ${syscall}`), { syscall, path, code });

describe('failure', () => {
  it("gives the operator's mistake one line and its own code", () => {
    expect(failure(new OperatorError('no chain.yaml in x', 66))).toEqual({
      exitCode: 66,
      message: 'no chain.yaml in x',
    });
  });

  it('tells reading from writing by the call and the file', () => {
    expect(failure(onDisk('scandir', 'c/inbox')).exitCode).toBe(74);
    expect(failure(onDisk('open', 'c/inbox/a.csv')).exitCode).toBe(74);
    expect(failure(onDisk('open', 'c/lake/manifest.json.new')).exitCode).toBe(73);
    expect(failure(onDisk('open', 'c/releases/2026-01-01-ab.building/results/a.csv')).exitCode).toBe(73);
    expect(failure(onDisk('mkdir', 'c/releases')).exitCode).toBe(73);
    expect(failure(onDisk('write', 'c/x', 'ENOSPC')).message).toBe('cannot write c/x: ENOSPC (write)');
  });

  it('shows the stack of our own bugs only', () => {
    const bug = failure(new Error('measure: 3 tests, 2 lines'));
    expect(bug.exitCode).toBe(70);
    expect(bug.message).toContain('failure.test.ts');
    expect(failure('thrown text').message).toContain('thrown text');
  });
});
