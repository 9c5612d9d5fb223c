import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cellOf, type LakeVersion } from '../../src/lake/lakeRows.ts';
import type { LedgerEntry } from '../../src/lake/ledger.ts';
import { isSameLedger } from '../../src/lake/nextLedger.ts';
import type { LakePortion } from '../../src/lake/portionsInForce.ts';
import { firstDayKept, retained } from '../../src/lake/retained.ts';
import { dayFromIso, isoFromDay } from '../../src/units/calendarDay.ts';
import { lakeVersion } from './lakeVersion.ts';
import { ledgerEntry } from './ledgerEntry.ts';

const test = (batch: string, testId: string, cutDay: number, cutter = 'c'): LakeVersion =>
  lakeVersion(batch, { testId, cutDay, cutter, rows: 3 });
const idsOf = (versions: readonly LakeVersion[]): string[] =>
  versions.map((version) => cellOf(version, 'testId'));
const portion = (batch: string, testId: string): LakePortion =>
  ({ store: 's', testId, batch, output: 'fat', piece: '1' }) as LakePortion;
const manifest = (files: LedgerEntry[], reference = {}) => ({
  generation: 1,
  files,
  parts: [],
  ...reference,
});
const everything = { beforeDay: Number.NEGATIVE_INFINITY, cutters: new Set<string>() };

describe('firstDayKept', () => {
  it('is the first of the month that lies the given months before the month of the day', () => {
    const kept = (day: string, months: number): string => isoFromDay(firstDayKept(dayFromIso(day), months));
    expect(kept('2026-11-23', 1)).toBe('2026-10-01');
    expect(kept('2026-11-23', 24)).toBe('2024-11-01');
    expect(kept('2026-03-31', 3)).toBe('2025-12-01');
    expect(firstDayKept(dayFromIso('2026-11-23'), 0)).toBe(Number.NEGATIVE_INFINITY);
  });
});

describe('retained', () => {
  it('keeps everything, and the very tables, when nothing is to go', () => {
    const rows = { tests: [test('a', '1', 5)], portions: [portion('p', '1')] };
    const files = [ledgerEntry('a', 5), ledgerEntry('p', 5)];
    const found = retained(rows, manifest(files), everything);
    expect([found.rows, found.isCut, found.settledPaths]).toEqual([rows, false, []]);
    expect(found.manifest).toEqual({ ...manifest(files), reference: [] });
  });

  it('lets tests cut before the day go with their outputs and portions, and counts their rows for the file', () => {
    const rows = {
      tests: [test('a', '1', 9), test('a', '2', 10)],
      portions: [portion('p', '1'), portion('p', '2')],
    };
    const found = retained(rows, manifest([ledgerEntry('a', 11), ledgerEntry('p', 12, { letGo: 4 })]), {
      ...everything,
      beforeDay: 10,
    });
    expect(idsOf(found.rows.tests)).toEqual(['2']);
    expect(found.rows.portions.map((row) => row.testId)).toEqual(['2']);
    expect(found.manifest.files.map((entry) => entry.letGo)).toEqual([3, 5]);
    expect(found.isCut).toBe(true);
  });

  it('lets a test of a removed cutter go with the versions it had before, so that none of them comes back', () => {
    const files = [ledgerEntry('a', 1), ledgerEntry('b', 2)];
    const gone = { ...everything, cutters: new Set(['x']) };
    const left = (versions: LakeVersion[]): string[] =>
      retained({ tests: versions, portions: [] }, manifest(files), gone).rows.tests.map(
        (row) => `${row.batch} ${cellOf(row, 'cutter')}`,
      );
    expect(left([test('a', '1', 5, 'typo'), test('b', '1', 5, 'x')])).toEqual([]);
    expect(left([test('a', '1', 5, 'x'), test('b', '1', 5, 'right')])).toEqual(['b right']);
    expect(left([test('a', '1', 5, 'c'), test('b', '2', 5, 'x')])).toEqual(['a c']);
  });

  it('no longer keeps refused rows of files first seen before the day, unless the path was sent again', () => {
    const rejects = [{ code: 'cell-count' }] as LedgerEntry['rejects'];
    const files = [
      ledgerEntry('a', 5, { rejects }),
      ledgerEntry('b', 5, { rejects, path: 'inbox/again.csv' }),
    ];
    const again = ledgerEntry('c', 15, { rejects, path: 'inbox/again.csv' });
    const found = retained({ tests: [], portions: [] }, manifest([...files, again]), {
      ...everything,
      beforeDay: 10,
    });
    expect(found.manifest.files.map((entry) => entry.rejects.length)).toEqual([0, 0, 1]);
    expect([found.isCut, found.settledPaths]).toEqual([false, ['inbox/a.csv']]);
  });

  it('leaves a removed cutter out of what refused rows say, once, and no other whose name holds theirs', () => {
    const reject = { code: 'test-fields-differ', found: 'c-1 (a.b)', expected: '"c-10", "c-1-2"' };
    const files = [ledgerEntry('a', 5, { rejects: [reject] as LedgerEntry['rejects'] })];
    const gone = { ...everything, cutters: new Set(['c-1', 'a.b']) };
    const found = retained({ tests: [], portions: [] }, manifest(files), gone);
    expect(found.manifest.files[0]?.rejects[0]).toMatchObject({
      found: '(removed) ((removed))',
      expected: '"c-10", "c-1-2"',
    });
    expect(found.settledPaths).toEqual([]);
    expect(isSameLedger(retained(found.rows, found.manifest, gone).manifest, found.manifest)).toBe(true);
  });

  it('forgets contents of reference tables that were replaced before the day, and older ones that tell of people', () => {
    const reference = [
      { table: 'prices', sha256: 'p1', seenDay: 1 },
      { table: 'prices', sha256: 'p2', seenDay: 9 },
      { table: 'prices', sha256: 'p3', seenDay: 15 },
      { table: 'cutters', sha256: 'c1', seenDay: 9 },
      { table: 'cutters', sha256: 'c2', seenDay: 9 },
    ];
    const left = (letGo: typeof everything): string[] =>
      (
        retained({ tests: [], portions: [] }, manifest([], { reference }), letGo).manifest.reference ?? []
      ).map((event) => event.sha256);
    expect(left(everything)).toEqual(['p1', 'p2', 'p3', 'c1', 'c2']);
    expect(left({ ...everything, beforeDay: 10 })).toEqual(['p2', 'p3', 'c2']);
    expect(left({ ...everything, cutters: new Set(['x']) })).toEqual(['p1', 'p2', 'p3', 'c2']);
    // what stays then stands for what was forgotten, so that a past day is not without the table
    const later = [reference[3], { table: 'cutters', sha256: 'c2', seenDay: 20 }] as typeof reference;
    const kept = retained({ tests: [], portions: [] }, manifest([], { reference: later }), {
      ...everything,
      cutters: new Set(['x']),
    });
    expect(kept.manifest.reference).toEqual([{ table: 'cutters', sha256: 'c2', seenDay: 9 }]);
  });

  it('loses no row uncounted, and nothing more when asked again', () => {
    const rows = fc.uniqueArray(
      fc.record({
        batch: fc.constantFrom('a', 'b', 'c'),
        testId: fc.constantFrom('1', '2', '3', '4'),
        cutDay: fc.integer({ min: 1, max: 20 }),
        cutter: fc.constantFrom('x', 'y'),
      }),
      { selector: (row) => `${row.batch} ${row.testId}`, maxLength: 10 },
    );
    const letGo = { beforeDay: 10, cutters: new Set(['x']) };
    fc.assert(
      fc.property(rows, (list) => {
        const tests = list.map((row) => test(row.batch, row.testId, row.cutDay, row.cutter));
        const files = [ledgerEntry('a', 1), ledgerEntry('b', 12), ledgerEntry('c', 13)];
        const once = retained({ tests, portions: [] }, manifest(files), letGo);
        const counted = once.manifest.files.reduce((sum, entry) => sum + (entry.letGo ?? 0), 0);
        expect(counted).toBe(3 * (tests.length - once.rows.tests.length));
        for (const kept of once.rows.tests)
          expect([cellOf(kept, 'cutDay') >= 10, cellOf(kept, 'cutter')]).toEqual([true, 'y']);
        const twice = retained(once.rows, once.manifest, letGo);
        expect([twice.isCut, isSameLedger(twice.manifest, once.manifest)]).toEqual([false, true]);
      }),
    );
  });
});
