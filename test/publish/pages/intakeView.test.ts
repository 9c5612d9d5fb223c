import { table } from 'arquero';
import { describe, expect, it } from 'vitest';
import type { RejectCode } from '../../../src/faults/rejectCodes.ts';
import type { IntakeRow, Reject } from '../../../src/ingest/ingested.ts';
import { intakeView, reasonText } from '../../../src/publish/pages/intakeView.ts';
import type { SitesInput } from '../../../src/publish/sitesInput.ts';

const asOfDay = 20_000;
const sent = (file: string, daysAgo: number, counts: Partial<IntakeRow> = {}): IntakeRow => ({
  ...{ file: `inbox/${file}`, sender: '', state: 'ingested', sha256: '', firstSeenDay: asOfDay - daysAgo },
  ...{ rowsRead: 10, accepted: 10, rejected: 0, blank: 0, ignored: 0, duplicate: 0, superseded: 0, owed: 0 },
  ...counts,
});
const fault = (file: string, code: RejectCode): Reject => ({
  ...{ code, sourceFile: `inbox/${file}`, sourceLine: 2, byteOffset: 0, field: 'cutter' },
  ...{ found: 'Someone', expected: '', remedy: '' },
});

const view = (intake: IntakeRow[], rejects: Reject[] = []) =>
  intakeView({
    chain: { privacy: { minimum_group: 3 } },
    asOfDay,
    intake,
    rejects,
    measured: {
      tests: table({
        store: ['s-1', 's-1', 's-2', 's-3'],
        sourceFile: ['inbox/a.csv', 'inbox/old.csv', 'inbox/b.csv', 'inbox/b.csv'],
      }),
    },
    found: {
      refused: [{ file: 'inbox/whole.csv', stores: ['s-2'] }],
      owed: [
        { store: 's-1', tests: 2 },
        { store: 's-1', tests: 3 },
      ],
      stores: [{ store: 's-1' }, { store: 's-2' }],
    },
  } as unknown as SitesInput);

describe('what was sent', () => {
  it('counts refused rows of what was sent anew, blank and repeated rows apart', () => {
    const found = view([
      sent('a.csv', 3, { rowsRead: 20, blank: 2, ignored: 1, duplicate: 7, accepted: 6, rejected: 4 }),
      sent('old.csv', 30),
      sent('older.csv', 400),
    ]);
    expect(found.recent).toEqual({ files: 1, rows: 10, refused: 4 });
    expect(found.before).toEqual({ files: 1, rows: 10, refused: 0 });
    expect(found.weeks.map(({ until, refused }) => [until, refused])).toEqual([
      ['2024-09-06', 0],
      ['2024-10-04', 4],
    ]);
  });
  it('gives every store its own files, and stands what several stores share apart', () => {
    const { senders } = view([sent('a.csv', 3, { rejected: 4 }), sent('b.csv', 2, { rejected: 1 })]);
    expect(senders.map(({ stores, owed, recent }) => [stores, owed, recent.refused])).toEqual([
      [['s-1'], 5, 4],
      [['s-2'], 0, 0],
      [['s-2', 's-3'], 0, 1],
    ]);
  });
  it('lists files with rows to mend, newest first, and counts faults by reason', () => {
    const found = view(
      [sent('a.csv', 9, { rejected: 4, owed: 3 }), sent('whole.csv', 2, { state: 'quarantined', owed: 10 })],
      [
        fault('a.csv', 'grade-unknown'),
        fault('a.csv', 'grade-unknown'),
        fault('whole.csv', 'column-missing'),
      ],
    );
    expect(found.mend.map(({ file, stores, rows, isWhole }) => [file, stores, rows, isWhole])).toEqual([
      ['whole.csv', ['s-2'], 10, true],
      ['a.csv', ['s-1'], 3, false],
    ]);
    expect(found.reasons).toEqual([
      { code: 'grade-unknown', count: 2, files: 1, stores: 1 },
      { code: 'column-missing', count: 1, files: 1, stores: 1 },
    ]);
    expect(reasonText(found.mend[1]?.reasons ?? []).why).toBe('The grade is not in the chain file.');
  });
  it('holds no cell of any file', () => {
    const found = view([sent('a.csv', 9, { owed: 1 })], [fault('a.csv', 'grade-unknown')]);
    expect(JSON.stringify(found)).not.toContain('Someone');
  });
});
