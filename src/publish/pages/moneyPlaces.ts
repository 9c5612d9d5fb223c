import { groups } from './groups.ts';
import { habitName } from './habitWords.ts';
import { type Loss, type MoneySum, moneySum, type ShownLosses } from './losses.ts';
import type { Names } from './names.ts';
import type { Dimension } from './smallRooms.ts';
import { regionName } from './smallRoomsActions.ts';

export type MoneyRow = MoneySum & { label: string };
/** Where the money goes by what is known of it: what is drawn, dearest first, and the names of what would only draw the same amounts again. */
export type MoneyPlaces = {
  drawn: { title: string; rows: MoneyRow[] }[];
  same: string[];
  /** Of what only the dearest are drawn. */
  dearest: string[];
};

export const mostRows = 8;

/** Money by region, store, item and habit; of those that hold the same amounts the store stands for all, else the first. */
export const moneyPlaces = (shown: ShownLosses, called: Names): MoneyPlaces => {
  const all = [
    { title: 'Region', rows: sums(shown, 'region', regionName) },
    { title: 'Store', rows: dearestFirst(shown.rows, (row) => called.store(row.store)) },
    { title: 'Item', rows: sums(shown, 'item', called.item) },
    { title: 'Habit', rows: sums(shown, 'habit', habitName) },
  ].filter(({ rows }) => rows.length > 0);
  const storeFirst = [...all].sort((a, b) => Number(b.title === 'Store') - Number(a.title === 'Store'));
  const kept = new Map(
    storeFirst.map(({ title, rows }) => [amountsOf(rows), title]).reverse() as [string, string][],
  );
  const isDrawn = ({ title, rows }: (typeof all)[number]): boolean => kept.get(amountsOf(rows)) === title;
  return {
    drawn: all.filter(isDrawn).map(({ title, rows }) => ({ title, rows: rows.slice(0, mostRows) })),
    same: all.filter((place) => !isDrawn(place)).map(({ title }) => title.toLowerCase()),
    dearest: all
      .filter((place) => isDrawn(place) && place.rows.length > mostRows)
      .map(({ title }) => title.toLowerCase()),
  };
};

const amountsOf = (rows: readonly MoneyRow[]): string =>
  rows
    .map(({ value, low, high }) => [value, low, high].map((amount) => amount.toFixed(6)).join(' '))
    .join('\n');

type Priced = Pick<Loss, 'moneyPerWeek' | 'low' | 'high' | 'tests' | 'errors'>;
const dearestFirst = <Row extends Priced>(rows: readonly Row[], key: (row: Row) => string): MoneyRow[] =>
  groups(rows, key)
    .map(([label, own]) => ({ label, ...moneySum(own) }))
    .sort((a, b) => b.value - a.value);

/** Sums by one thing: the rooms that may be shown, and the small rooms' own sum where that is published. */
const sums = (shown: ShownLosses, by: Dimension, called: (name: string) => string): MoneyRow[] =>
  dearestFirst<Priced & { label: string }>(
    [
      ...shown.rows.map((row) => ({ ...row, label: called(row[by]) })),
      ...shown.apart[by].map((sum) => ({ ...sum, moneyPerWeek: sum.value, label: called(sum.name) })),
    ],
    (row) => row.label,
  );
