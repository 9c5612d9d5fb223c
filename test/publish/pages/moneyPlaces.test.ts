import { describe, expect, it } from 'vitest';
import type { ShownLosses } from '../../../src/publish/pages/losses.ts';
import { moneyPlaces } from '../../../src/publish/pages/moneyPlaces.ts';

const loss = (store: string, region: string, item: string, moneyPerWeek: number) => ({
  region,
  store,
  item,
  habit: 'over-trimming',
  moneyPerWeek,
  low: moneyPerWeek - 1,
  high: moneyPerWeek + 1,
  tests: 9,
  since: '',
  isNew: false,
});
const placed = (...rows: ReturnType<typeof loss>[]) =>
  moneyPlaces(
    { rows, together: undefined, apart: { region: [], item: [], habit: [] }, withheld: 0 } as ShownLosses,
    { item: (item) => item, store: (store) => store },
  );
const titles = (places: ReturnType<typeof placed>) => places.drawn.map(({ title }) => title);

describe('where the money goes', () => {
  it('draws the same amounts once, by store, and names what else they are', () => {
    const one = placed(loss('s-1', 'North', '180', 60), loss('s-2', 'South', '184', 20));
    expect(titles(one)).toEqual(['Store', 'Habit']);
    expect(one.same).toEqual(['region', 'item']);
    expect(one.drawn[0]?.rows.map((row) => row.value)).toEqual([60, 20]);
  });
  it('draws all that differ', () => {
    const two = placed(
      loss('s-1', 'North', '180', 60),
      loss('s-2', 'North', '184', 20),
      loss('s-2', 'South', '180', 9),
    );
    expect(titles(two)).toEqual(['Region', 'Store', 'Item', 'Habit']);
    expect(two.same).toEqual([]);
  });
  it('takes no two for the same that differ beyond the rows drawn', () => {
    const rows = Array.from({ length: 9 }, (_, i) => loss(`s-${i}`, `r-${i}`, `${i % 2}`, 90 - i));
    const split = [...rows, loss('s-9', 'r-8', '0', 0.5)];
    expect(placed(...rows).same).toEqual(['region']);
    expect(placed(...split).same).toEqual([]);
    const drawn = (title: string) => placed(...split).drawn.find((place) => place.title === title)?.rows;
    expect(drawn('Region')?.map((row) => row.value)).toEqual(drawn('Store')?.map((row) => row.value));
    expect(drawn('Store')).toHaveLength(8);
    expect(placed(...split).dearest).toEqual(['region', 'store']);
  });
  it('is empty without money', () => {
    expect(placed()).toEqual({ drawn: [], same: [], dearest: [] });
  });
});
