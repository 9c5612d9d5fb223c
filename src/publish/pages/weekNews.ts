import { dayFromIso } from '../../units/calendarDay.ts';
import { habitName } from './habitWords.ts';
import { visibleLosses } from './losses.ts';
import { names } from './names.ts';
import type { PeopleFree } from './peopleFree.ts';

/** What the last days brought: habits by store and item, in words. */
export type WeekNews = { began: string[]; ended: string[]; goOn: number; isFirstNight: boolean };

const week = 7;

/** Habits told for the first time or clear only in the last seven days, and those that ended in the last four weeks, of rooms that may be shown. */
export const weekNews = (
  input: Pick<PeopleFree, 'losses' | 'ended' | 'asOfDay' | 'chain' | 'stores' | 'isFirstNight'>,
): WeekNews => {
  const called = names(input.chain, input.stores);
  const rows = visibleLosses(input.losses);
  const isRecent = (iso: string): boolean => dayFromIso(iso) > input.asOfDay - week;
  const said = (row: { store: string; item: string; habit: string }): string =>
    `${called.store(row.store)}, ${row.item === '' ? 'all items' : called.item(row.item)}: ${habitName(row.habit)}`;
  const began = rows.filter((row) => row.isNew || isRecent(row.since));
  return {
    began: began.map(said),
    ended: input.ended.map(said),
    goOn: rows.length - began.length,
    isFirstNight: input.isFirstNight,
  };
};
