import { describe, expect, it } from 'vitest';
import { readChain } from '../../src/catalog/readChain.ts';
import { refusedLately } from '../../src/findings/refusedLately.ts';
import { silentFindings, storeStatus } from '../../src/findings/storeStatus.ts';
import type { RefusedFile, Reject } from '../../src/ingest/ingested.ts';
import type { MeasuredTest } from '../../src/measure/measured.ts';
import type { ReferenceTables } from '../../src/normalize/normalized.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

const chain = readChain('sample-data', diskFileSystem);
const asOfDay = dayFromIso('2026-11-23');
const test = (store: string, daysAgo: number, cutter = 'a', state = 'used'): MeasuredTest =>
  ({ store, cutter, state, cutDay: asOfDay - daysAgo }) as MeasuredTest;
const reference = {
  stores: [
    { store: 's2', name: 'Pier Street', region: 'Harbor', scaleDivisionKg: 0.01, testsOwedPerWeek: 3 },
    { store: 's9', name: 'Hill Street', region: 'Uplands', scaleDivisionKg: 0.01, testsOwedPerWeek: 3 },
  ],
} as unknown as ReferenceTables;

describe('storeStatus', () => {
  const status = storeStatus(
    {
      tests: [test('s1', 3), test('s1', 9, 'b', 'held'), test('s2', chain.freshness.stale_after_days + 1)],
      reference,
      refused: [],
    },
    chain,
    asOfDay,
  );

  it('lists every store known or seen, with its last test, tests held and cutters', () => {
    expect(
      status.map((row) => [row.store, row.name, row.lastTest, row.tests, row.held, row.cutters]),
    ).toEqual([
      ['s1', 's1', '2026-11-20', 2, 1, 2],
      ['s2', 'Pier Street', '2026-11-01', 1, 0, 1],
      ['s9', 'Hill Street', '', 0, 0, 0],
    ]);
  });

  it('calls a store silent one day after the days allowed, and one that never sent a test', () => {
    expect(status.map((row) => row.silent)).toEqual([false, true, true]);
    const onTheDay = storeStatus(
      { tests: [test('s1', chain.freshness.stale_after_days)], reference, refused: [] },
      chain,
      asOfDay,
    );
    expect(onTheDay[0]?.silent).toBe(false);
  });

  it('raises one finding a silent store, for the director, with the same id every night', () => {
    const found = silentFindings(status, chain, asOfDay);
    expect(found.map((row) => [row.kind, row.reader, row.store, row.since])).toEqual([
      ['silent-store', 'director', 's2', '2026-11-01'],
      ['silent-store', 'director', 's9', ''],
    ]);
    expect(silentFindings(status, chain, asOfDay)[0]?.findingId).toBe(found[0]?.findingId);
    expect(new Set(found.map((row) => row.findingId)).size).toBe(2);
  });

  const file = (name: string, stores: string[], daysAgo = 1): RefusedFile => ({
    file: `inbox/${name}`,
    sender: '',
    stores,
    seenDay: asOfDay - daysAgo,
    rows: 20,
    reject: { code: 'date-order-ambiguous' } as Reject,
  });
  const nobody = { stores: [] } as unknown as ReferenceTables;
  const statesWith = (refused: RefusedFile[], known = reference) =>
    storeStatus({ tests: [test('s1', 3)], reference: known, refused }, chain, asOfDay).map((row) => [
      row.store,
      row.silent,
      row.sentButRefused,
      row.refusedFiles,
    ]);

  const sent = (store: string, cutAgo: number, sentAgo: number): MeasuredTest => ({
    ...test(store, cutAgo),
    seenDay: asOfDay - sentAgo,
  });
  it('does not call a store silent that sends old sheets; those of the first night count by the cut', () => {
    const days = chain.freshness.stale_after_days;
    const statesOf = (tests: MeasuredTest[], day = asOfDay) =>
      storeStatus({ tests, reference: { ...reference, stores: [] }, refused: [] }, chain, day).map((row) => [
        row.store,
        row.silent,
        row.sentButOld,
        row.lastTest,
        row.lastSent,
      ]);
    const first = [sent('s1', 400, 300), sent('s2', 301, 300)];
    const tests = [...first, sent('s1', 390, days), sent('s3', 60, days + 1), sent('s4', 3, 1)];
    expect(statesOf(tests)).toEqual([
      ['s1', false, true, '2025-10-29', '2026-11-02'],
      ['s2', true, false, '2026-01-26', ''],
      ['s3', true, false, '2026-09-24', '2026-11-01'],
      ['s4', false, false, '2026-11-20', '2026-11-22'],
    ]);
    // all sent in one night, as into a new lake: nobody knows when
    expect(statesOf([sent('s1', 400, 0), sent('s4', 3, 0)]).map((row) => row[1])).toEqual([true, false]);
    const next = storeStatus({ tests, reference, refused: [] }, chain, asOfDay + 1);
    const finding = silentFindings(next, chain, asOfDay + 1).find((row) => row.store === 's1');
    expect([finding?.status, finding?.headline.includes('2026-11-02')]).toEqual(['new', true]);
  });

  it('does not call a store silent whose files were refused whole, and lists it though no test of it is known', () => {
    expect(statesWith([file('a.csv', ['s2']), file('b.csv', ['s1', 's2'])])).toEqual([
      ['s1', false, false, 1],
      ['s2', false, true, 2],
      ['s9', true, false, 0],
    ]);
    expect(statesWith([file('a.csv', ['s5'])], nobody)).toEqual([
      ['s1', false, false, 0],
      ['s5', false, true, 1],
    ]);
  });

  it('takes a name in a refused file for no store where the chain lists its stores', () => {
    expect(statesWith([file('a.csv', ['s-7'])]).map(([store]) => store)).toEqual(['s1', 's2', 's9']);
  });

  it('asks the path for the store where the file tells none, and lets old refusals go', () => {
    const days = chain.freshness.stale_after_days;
    const files = [
      file('S2/monday.csv', []),
      file('s9.xlsx', []),
      file('notes.txt', []),
      file('s1/x.csv', ['s2']),
      file('S2/old.csv', [], days + 1),
      file('S2/last.csv', [], days),
    ];
    const rows = refusedLately(files, { tests: [test('s1', 3)], reference }, chain, asOfDay);
    expect(rows.map((row) => [row.file, row.stores])).toEqual([
      ['inbox/S2/monday.csv', ['s2']],
      ['inbox/s9.xlsx', ['s9']],
      ['inbox/notes.txt', []],
      ['inbox/s1/x.csv', ['s2']],
      ['inbox/S2/last.csv', ['s2']],
    ]);
  });

  it('finds the one store that a file or its path can mean, whatever the capitals, and guesses between no two', () => {
    const stores = ['s-2', 's-2-1', 'S-7', 's-7', '12'].map((store) => ({ store, name: `${store} street` }));
    const known = {
      tests: [test('s-9', 3)],
      reference: { stores: [...stores, { store: 's-5', name: 'Pier' }] } as ReferenceTables,
    };
    const storesOf = (name: string, named: string[] = []): readonly string[] =>
      refusedLately([file(name, named)], known, chain, asOfDay)[0]?.stores ?? [];
    expect(storesOf('x.csv', ['S-2', 's-2', 'S-9'])).toEqual(['s-2', 's-9']);
    expect(storesOf('x.csv', ['S-7', 's-07'])).toEqual(['S-7', 's-07']);
    expect(storesOf('north/S-2 week 47.xlsx')).toEqual(['s-2']);
    expect(storesOf('north/s-2-1_week 47.xlsx')).toEqual(['s-2-1']);
    expect(storesOf('PIER/week 47.csv')).toEqual(['s-5']);
    expect(storesOf('cutting tests Pier.csv')).toEqual(['s-5']);
    expect(storesOf('12/monday.csv')).toEqual(['12']);
    for (const path of [
      'week 12.csv',
      's-7/a.csv',
      's-2/s-5.csv',
      's-2 and s-5.csv',
      's-21.csv',
      'piers.csv',
    ])
      expect([path, storesOf(path)]).toEqual([path, []]);
  });

  it('is news on the first silent night alone', () => {
    const on = (day: number) =>
      silentFindings(storeStatus({ tests: [test('s2', 0)], reference, refused: [] }, chain, day), chain, day);
    const first = asOfDay + chain.freshness.stale_after_days + 1;
    expect(on(first - 1).map((row) => row.store)).toEqual(['s9']);
    expect([on(first)[0]?.status, on(first + 1)[0]?.status]).toEqual(['new', 'continuing']);
  });
});
