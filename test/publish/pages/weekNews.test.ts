import { describe, expect, it } from 'vitest';
import type { Chain } from '../../../src/catalog/chain.ts';
import { weekNews } from '../../../src/publish/pages/weekNews.ts';
import { dayFromIso } from '../../../src/units/calendarDay.ts';

const loss = (store: string, since: string, suppressed = false) => ({
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
});
const chain = { items: [], privacy: { minimum_group: 5 } } as unknown as Chain;
const news = (
  losses: ReturnType<typeof loss>[],
  ended: { store: string; item: string; habit: string }[] = [],
) => weekNews({ losses, ended, chain, stores: [], asOfDay: dayFromIso('2026-11-23') });

describe('what changed since last week', () => {
  it('tells habits first seen in the last seven days apart from those that go on', () => {
    expect(news([loss('s-1', '2026-11-17'), loss('s-2', '2026-11-16'), loss('s-3', '')])).toEqual({
      began: ['s-1, 180: trimmed too deep'],
      ended: [],
      goOn: 2,
    });
  });
  it('says nothing of rooms too small to show', () => {
    expect(news([loss('s-1', '2026-11-22', true)])).toEqual({ began: [], ended: [], goOn: 0 });
  });
  it('names what ended', () => {
    expect(news([], [{ store: 's-4', item: '180', habit: 'room-habit' }]).ended).toEqual([
      's-4, 180: whole room trims too deep',
    ]);
  });
});
