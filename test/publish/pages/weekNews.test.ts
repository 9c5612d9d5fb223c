import { describe, expect, it } from 'vitest';
import type { Chain } from '../../../src/catalog/chain.ts';
import { newsOf } from '../../../src/publish/pages/directorHome.tsx';
import { weekNews } from '../../../src/publish/pages/weekNews.ts';
import { dayFromIso } from '../../../src/units/calendarDay.ts';

const loss = (store: string, since: string, suppressed = false, isNew = false) => ({
  region: 'North',
  store,
  item: '180',
  habit: 'over-trimming',
  moneyPerWeek: 20,
  low: 10,
  high: 30,
  tests: 12,
  cutters: suppressed ? 1 : 6,
  suppressed,
  since,
  isNew,
});
const chain = { items: [], privacy: { minimum_group: 5 } } as unknown as Chain;
const news = (
  losses: ReturnType<typeof loss>[],
  ended: { store: string; item: string; habit: string }[] = [],
) => weekNews({ losses, ended, chain, stores: [], asOfDay: dayFromIso('2026-11-23'), isFirstNight: false });

describe('what changed since last week', () => {
  it('tells habits clear only in the last seven days apart from those that go on', () => {
    expect(news([loss('s-1', '2026-11-17'), loss('s-2', '2026-11-16'), loss('s-3', '')])).toEqual({
      began: ['s-1, 180: trimmed too deep'],
      ended: [],
      goOn: 2,
      isFirstNight: false,
    });
  });
  it('takes a habit that is told tonight for the first time for new, whenever its tests were cut', () => {
    expect(news([loss('s-1', '2026-02-03', false, true), loss('s-2', '2026-02-03')])).toMatchObject({
      began: ['s-1, 180: trimmed too deep'],
      goOn: 1,
    });
  });
  it('says that on a first night all are listed for the first time, and that none is new only where none is', () => {
    const nothing = { began: [], ended: [], goOn: 0, isFirstNight: false };
    const all = { ...nothing, began: ['a', 'b'], goOn: 12 };
    expect(newsOf({ ...all, isFirstNight: true })).toBe(
      'The first night: all 14 habits are listed for the first time.',
    );
    expect(newsOf(all)).toBe('New since last week: a; b. 12 more go on.');
    expect(newsOf({ ...nothing, goOn: 1 })).toBe('No habit is new; 1 goes on.');
    expect(newsOf(nothing)).toBe('No habit that costs money is found.');
    expect(newsOf({ ...nothing, isFirstNight: true })).toBe('No habit that costs money is found.');
  });
  it('says nothing of rooms too small to show', () => {
    expect(news([loss('s-1', '2026-11-22', true)])).toMatchObject({ began: [], ended: [], goOn: 0 });
  });
  it('names what ended', () => {
    expect(news([], [{ store: 's-4', item: '180', habit: 'room-habit' }]).ended).toEqual([
      's-4, 180: whole room trims too deep',
    ]);
  });
});
