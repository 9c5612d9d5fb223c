import { table } from 'arquero';
import { describe, expect, it } from 'vitest';
import { peopleFree, peopleFreeFields } from '../../../src/publish/pages/peopleFree.ts';
import type { SitesInput } from '../../../src/publish/sitesInput.ts';

const finding = (since: string, status: string, over: object = {}) => ({
  reader: 'trainer',
  kind: 'over-trimming',
  store: 's-1',
  cutter: 'c-1',
  item: '180',
  since,
  status,
  ...over,
});
const asOfDay = 20_000;
const without = (findings: object[], seenDays: number[] = [asOfDay]) =>
  peopleFree({
    chain: { privacy: { minimum_group: 5 }, freshness: { stale_after_days: 21 }, items: [] },
    asOfDay,
    reference: { cutters: [], stores: [] },
    measured: {
      tests: table(
        Object.fromEntries([
          ...peopleFreeFields.map((name) => [name, seenDays.map(() => (name === 'cutDay' ? 19_990 : ''))]),
          ['sourceFile', seenDays.map(() => '')],
          ['seenDay', seenDays],
        ]),
      ),
    },
    modeled: { expected: table({}), effects: [], adjustedFor: [], curves: [], termsOf: () => undefined },
    found: {
      findings,
      losses: [{ region: 'North', store: 's-1', item: '180', habit: 'over-trimming' }],
      stores: [],
      refused: [],
      owed: [],
      merchandise: { portions: [] },
    },
    intake: [],
    rejects: [],
  } as unknown as SitesInput);
const timeOf = (...findings: object[]) => {
  const [{ since, isNew } = { since: 'none', isNew: false }] = without(findings).losses;
  return { since, isNew };
};

describe('since when a loss is known', () => {
  it('is the earliest day of what is told there, and it is new only where all of that is', () => {
    const first = finding('2024-03-01', 'new');
    expect(timeOf(first)).toEqual({ since: '2024-03-01', isNew: true });
    expect(timeOf(first, finding('2024-01-05', 'continuing', { cutter: 'c-2' }))).toEqual({
      since: '2024-01-05',
      isNew: false,
    });
    expect(timeOf(finding('2024-01-05', 'continuing', { cutter: 'c-2' }), first).isNew).toBe(false);
    expect(timeOf(finding('2024-03-01', 'new', { item: '', items: ['180', '184'] })).isNew).toBe(true);
    expect(timeOf()).toEqual({ since: '', isNew: false });
  });
  it('does not come from what is over', () => {
    expect(timeOf(finding('2023-01-05', 'resolved'), finding('2024-03-01', 'new'))).toEqual({
      since: '2024-03-01',
      isNew: true,
    });
  });
});

describe('a first night', () => {
  it('is one before which no test was there', () => {
    expect(without([], [asOfDay, asOfDay]).isFirstNight).toBe(true);
    expect(without([], [asOfDay, asOfDay - 1]).isFirstNight).toBe(false);
  });
});
