import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LakeVersion } from '../../src/lake/lakeRows.ts';
import type { LedgerEntry } from '../../src/lake/ledger.ts';
import { testsInForce } from '../../src/lake/testsInForce.ts';
import type { SentTest } from '../../src/normalize/versionTable.ts';
import { lakeVersion } from './lakeVersion.ts';
import { ledgerEntry } from './ledgerEntry.ts';

const chain = { withdraw: [] };
const file = (batch: string, firstSeenDay: number, modifiedMs = 0): LedgerEntry =>
  ledgerEntry(batch, firstSeenDay, { modifiedMs });
const test = (batch: string, testId: string, about: Partial<SentTest> = {}, outputKg?: number): LakeVersion =>
  lakeVersion(batch, { testId, cutter: 'c', receivedKg: 6, ...about }, outputKg);
const inForce = (tests: LakeVersion[], files: LedgerEntry[], over = {}) =>
  testsInForce(tests, files, { ...chain, ...over });

describe('testsInForce', () => {
  it('takes the later revised_on, else the later night, else the later file', () => {
    type About = Partial<SentTest>;
    const winner = (a: About, b: About, files: LedgerEntry[]) =>
      inForce([test('a', '1', { ...a, receivedKg: 5 }), test('b', '1', b)], files).winners.get('s\u00001')
        ?.batch;
    expect(winner({ revisedDay: 20 }, { revisedDay: 19 }, [file('a', 1), file('b', 9)])).toBe('a');
    expect(winner({ revisedDay: 20 }, {}, [file('a', 1), file('b', 9)])).toBe('a');
    expect(winner({}, {}, [file('a', 1), file('b', 9)])).toBe('b');
    expect(winner({}, {}, [file('a', 9, 5), file('b', 9, 4)])).toBe('a');
  });
  it('uses neither of two that are equally late and differ, even in an output alone', () => {
    const files = [file('a', 9), file('b', 9)];
    const differ = inForce([test('a', '1', {}, 1), test('b', '1', {}, 2)], files);
    expect([differ.winners.size, differ.conflicts.length, ...differ.conflicting.values()]).toEqual([
      0, 2, 2, 2,
    ]);
    const agree = inForce([test('a', '1', {}, 1), test('b', '1', {}, 1)], files);
    expect([agree.winners.get('s\u00001')?.batch, agree.duplicate.get('b')]).toEqual(['a', 2]);
  });
  it('keeps the first of versions that say the same, so that a file sent again moves nothing', () => {
    const found = inForce([test('late', '1'), test('first', '1')], [file('late', 12), file('first', 3)]);
    expect(found.winners.get('s\u00001')?.batch).toBe('first');
    expect([...found.duplicate]).toEqual([['late', 2]]);
  });
  it('leaves out withdrawn tests and counts their rows', () => {
    const files = [file('a', 1)];
    const over = { withdraw: [{ store: 's', test_id: '1' }] };
    const found = inForce([test('a', '1'), test('a', '3')], files, over);
    expect([...found.winners.keys()]).toEqual(['s\u00003']);
    expect([found.superseded.get('a'), found.accepted.get('a')]).toEqual([2, 2]);
  });
  it('accounts for every row once, and the order of rows and files does not matter', () => {
    const one = fc.record({
      batch: fc.constantFrom('a', 'b', 'c', 'd'),
      testId: fc.constantFrom('1', '2', '3'),
      receivedKg: fc.constantFrom(5, 6),
      revisedDay: fc.constantFrom(Number.NaN, 10, 11),
    });
    const rows = fc.uniqueArray(one, { selector: (row) => `${row.batch} ${row.testId}`, maxLength: 12 });
    const files = [file('a', 1), file('b', 2), file('c', 2), file('d', 2, 7)];
    fc.assert(
      fc.property(rows, fc.infiniteStream(fc.nat()), (list, keys) => {
        const tests = list.map(({ batch, testId, ...about }) => test(batch, testId, about));
        const shuffled = tests
          .map((row) => ({ row, at: keys.next().value as number }))
          .sort((a, b) => a.at - b.at);
        const found = inForce(tests, files);
        const other = inForce(
          shuffled.map(({ row }) => row),
          [...files].reverse(),
        );
        const winners = (from: typeof found) =>
          [...from.winners].map(([key, row]) => [key, row.batch]).sort();
        expect(winners(other)).toEqual(winners(found));
        const total = [found.accepted, found.duplicate, found.superseded, found.conflicting]
          .flatMap((counts) => [...counts.values()])
          .reduce((sum, count) => sum + count, 0);
        expect(total).toBe(2 * tests.length);
      }),
      { numRuns: 300 },
    );
  });
});
