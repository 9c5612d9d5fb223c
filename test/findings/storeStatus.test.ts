import { describe, expect, it } from 'vitest';
import { readChain } from '../../src/catalog/readChain.ts';
import { silentFindings, storeStatus } from '../../src/findings/storeStatus.ts';
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
    [test('s1', 3), test('s1', 9, 'b', 'held'), test('s2', chain.freshness.stale_after_days + 1)],
    reference,
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
    const onTheDay = storeStatus([test('s1', chain.freshness.stale_after_days)], reference, chain, asOfDay);
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

  it('is news on the first silent night alone', () => {
    const on = (day: number) =>
      silentFindings(storeStatus([test('s2', 0)], reference, chain, day), chain, day);
    const first = asOfDay + chain.freshness.stale_after_days + 1;
    expect(on(first - 1).map((row) => row.store)).toEqual(['s9']);
    expect([on(first)[0]?.status, on(first + 1)[0]?.status]).toEqual(['new', 'continuing']);
  });
});
