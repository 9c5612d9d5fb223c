import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { staleReleases } from '../../src/publish/staleReleases.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

const all = { beforeDay: Number.NEGATIVE_INFINITY, most: 0 };
const names = ['2026-01-08-b', '2026-01-07-a', '2026-01-09-c', '2026-01-09-d'];

describe('staleReleases', () => {
  it('are none where all are kept, but what was left half-built', () => {
    expect(staleReleases([], '', all)).toEqual([]);
    expect(staleReleases([...names, '2026-01-09-e.building'], '2026-01-09-d', all)).toEqual([
      '2026-01-09-e.building',
    ]);
  });

  it('are those of earlier days, and the earliest of more than are kept', () => {
    const beforeDay = dayFromIso('2026-01-08');
    expect(staleReleases(names, '2026-01-09-d', { ...all, beforeDay })).toEqual(['2026-01-07-a']);
    expect(staleReleases(names, '2026-01-09-d', { ...all, most: 2 })).toEqual([
      '2026-01-08-b',
      '2026-01-07-a',
    ]);
  });

  it('never have the one in force among them, though it is the oldest, as when a past day is run again', () => {
    const kept = { beforeDay: dayFromIso('2026-01-09'), most: 1 };
    expect(staleReleases(names, '2026-01-07-a', kept)).toEqual([
      '2026-01-08-b',
      '2026-01-09-c',
      '2026-01-09-d',
    ]);
  });

  it('leave as many as are kept', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 9 }), fc.integer({ min: 1, max: 9 }), (count, most) => {
        const own = Array.from({ length: count }, (_, i) => `2026-02-0${i + 1}-x`);
        expect(count - staleReleases(own, own[0] as string, { ...all, most }).length).toBe(
          Math.min(count, most),
        );
      }),
    );
  });
});
