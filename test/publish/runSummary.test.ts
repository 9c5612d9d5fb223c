import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { IntakeRow, Reject } from '../../src/ingest/ingested.ts';
import { type NightReport, runSummary } from '../../src/publish/runSummary.ts';

const file = (name: string, accepted: number, rejected: number): IntakeRow => ({
  file: name,
  sender: '',
  state: 'ingested',
  rowsRead: accepted + rejected,
  accepted,
  rejected,
  blank: 0,
  ignored: 0,
  duplicate: 0,
  superseded: 0,
  sha256: '',
  firstSeenDay: 20000,
  owed: rejected,
});
const reject = (code: Reject['code']): Reject => ({
  code,
  sourceFile: 'a.csv',
  sourceLine: 2,
  byteOffset: 0,
  field: '',
  found: '',
  expected: '',
  remedy: '',
});
const report = (over: Partial<NightReport> = {}): NightReport => ({
  release: 'releases/2026-01-10-abc',
  changed: true,
  filesIngested: 2,
  tests: 7,
  pages: { drawn: 3, takenOver: 90, of: 93 },
  staleStores: 1,
  unfit: 0,
  intake: [file('a.csv', 10, 0), file('b.csv', 5, 2)],
  rejects: [reject('cell-count'), reject('date-invalid'), reject('date-invalid')],
  restated: [],
  unread: [],
  ...over,
});

describe('runSummary', () => {
  it('puts files with trouble first, adds all files up, and counts rejects by code, most first', () => {
    const lines = runSummary(report(), 10);
    expect(lines[0]).toBe(
      'b.csv: 7 rows read = 5 accepted + 2 rejected + 0 blank + 0 ignored + 0 duplicate + 0 superseded',
    );
    expect(lines[2]).toMatch(/^all files: 17 rows read = 15 accepted \+ 2 rejected/);
    expect(lines.slice(-3)).toEqual([
      '  date-invalid: 2',
      '  cell-count: 1',
      'new release releases/2026-01-10-abc',
    ]);
  });

  it('writes one of a thing as one, and says of a file of column names alone that it has no rows', () => {
    const lines = runSummary(
      report({
        filesIngested: 1,
        tests: 1,
        intake: [file('a.csv', 1, 0), file('names.csv', 0, 0)],
        rejects: [],
      }),
      10,
    );
    expect(lines[0]).toMatch(/^a\.csv: 1 row read = 1 accepted \+/);
    expect(lines[1]).toMatch(/^names\.csv: 0 rows read = .* 0 superseded \(no rows\)$/);
    expect(lines[2]).toMatch(/^all files: 1 row read/);
    expect(lines[3]).toBe(
      '1 file ingested, 1 test in force, 1 store silent or with old sheets only, 0 effects not converged',
    );
  });

  it('tells in the line of a file set aside whole why, where and what to do', () => {
    const fault = {
      ...reject('date-order-ambiguous'),
      sourceFile: 'b.csv',
      found: `01/07/2026\n${'x'.repeat(99)}`,
      expected: 'dates that can be read in one way',
      remedy: 'Add dates: mdy.',
    };
    const whole = { ...file('b.csv', 0, 2), state: 'quarantined' as const };
    const lines = runSummary(report({ intake: [file('a.csv', 10, 0), whole], rejects: [fault] }), 10);
    expect(lines[0]).toMatch(
      /\(quarantined\): line 2, found 01\/07\/2026\?x{49}, expected dates that can be read in one way\. Add dates: mdy\.$/,
    );
    expect(lines[1]).toMatch(/0 superseded$/);
  });

  it('says what it leaves out, and that a dry run wrote nothing', () => {
    const lines = runSummary(report({ release: '', rejects: [] }), 1);
    expect(lines[1]).toBe('and 1 more files; see results/intake.csv');
    expect(lines.at(-1)).toBe('dry run: nothing written');
  });

  it('says how many of the rejected rows are settled, where some are', () => {
    const lines = runSummary(report({ intake: [{ ...file('a.csv', 1, 8), owed: 3 }] }), 10);
    expect(lines[0]).toMatch(/0 superseded; of the rejected 5 settled, 3 owed$/);
    expect(lines[1]).toMatch(/^all files: .*; of the rejected 5 settled, 3 owed$/);
  });

  it('says of a rerun for a past day what it left for the next night', () => {
    const left = Array.from({ length: 12 }, (_, i) => `inbox/${i}\n.csv`);
    const lines = runSummary(report({ rerun: { latestDay: '2026-01-12', left } }), 10);
    expect(lines.filter((line) => line.startsWith('rerun'))).toEqual([
      'rerun of a past day (the latest night was for 2026-01-12): 12 new files left for the next night: inbox/0?.csv, inbox/1?.csv, inbox/2?.csv, inbox/3?.csv, inbox/4?.csv, inbox/5?.csv, inbox/6?.csv, inbox/7?.csv, inbox/8?.csv, inbox/9?.csv, ...',
    ]);
  });

  it('says of a rerun that tests were not there yet, where a regular night says that they were restated', () => {
    const test = (testId: string, now: string) => ({
      store: 's-1',
      testId,
      was: 'b.csv line 2',
      now,
      moved: [],
    });
    const restated = [test('T-1', ''), test('T-2', ''), test('T-3', 'a.csv line 2')];
    const told = (over: Partial<NightReport>) =>
      runSummary(report({ restated, ...over }), 10).filter((line) => line.includes('manifest.json'));
    expect(told({})).toEqual([
      '3 tests restated by a later version or withdrawn; see runs/<run>/manifest.json',
    ]);
    expect(told({ rerun: { latestDay: '2026-01-12', left: [] } })).toEqual([
      '2 tests of the release before were not there yet on that day; see runs/<run>/manifest.json',
      '1 test of the release before is told by the version of that day; see runs/<run>/manifest.json',
    ]);
  });

  it('names files that lie beside the reference tables and are none', () => {
    const lines = runSummary(report({ unread: ['reference/Cutters.csv', 'reference/price.xlsx'] }), 10);
    expect(lines.filter((line) => line.startsWith('not read'))).toEqual([
      'not read, for their names (no reference table has it, or it is not UTF-8): reference/Cutters.csv, reference/price.xlsx',
    ]);
  });

  it('stays within 40 lines for any number of files when 20 are shown', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 200 }), (n) => {
        const intake = Array.from({ length: n }, (_, i) => file(`${i}.csv`, 1, i % 2));
        expect(runSummary(report({ intake }), 20).length).toBeLessThanOrEqual(40);
      }),
    );
  });
});
