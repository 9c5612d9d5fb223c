import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { shownLosses } from '../../../src/publish/pages/losses.ts';
import { dimensions, namedSums } from '../../../src/publish/pages/smallRooms.ts';
import { publishedLosses, smallRoomsRows } from '../../../src/publish/results/publishedLosses.ts';

const minimumGroup = 5;
const loss = (store: string, cutters: number, region: string, item: string, habit = 'over-trimming') => ({
  region,
  store,
  item,
  habit,
  moneyPerWeek: 10,
  low: 8,
  high: 12,
  tests: 12,
  cutters,
  suppressed: cutters < minimumGroup,
});
type Row = ReturnType<typeof loss>;

/** Which rows each published sum adds up, read off the published rows. */
const publishedSums = (rows: readonly Row[]): number[][] => {
  const hidden = rows.filter((row) => row.suppressed);
  const all = publishedLosses(rows, minimumGroup).filter((row) => row.store === '');
  return [
    ...all.map(() => hidden.map(() => 1)),
    ...smallRoomsRows(rows, minimumGroup).map(({ by, name }) =>
      hidden.map((row) => Number(row[by] === name)),
    ),
  ];
};

/** Rank of a matrix by elimination over whole numbers. */
const rankOf = (matrix: readonly (readonly number[])[]): number => {
  const rows = matrix.map((row) => row.map((value) => BigInt(value)));
  let rank = 0;
  for (let at = 0; at < (rows[0]?.length ?? 0); at++) {
    const found = rows.findIndex((row, i) => i >= rank && row[at] !== 0n);
    if (found < 0) continue;
    const pivot = rows[found] as bigint[];
    rows[found] = rows[rank] as bigint[];
    rows[rank] = pivot;
    for (let i = rank + 1; i < rows.length; i++) {
      const row = rows[i] as bigint[];
      const factor = row[at] as bigint;
      rows[i] = row.map((value, j) => value * (pivot[at] as bigint) - factor * (pivot[j] as bigint));
    }
    rank += 1;
  }
  return rank;
};

const subsets = <One>(of: readonly One[]): One[][] =>
  Array.from({ length: 2 ** of.length }, (_, bits) =>
    of.filter((_, i) => Math.floor(bits / 2 ** i) % 2 === 1),
  );

/** Groups of rooms too small to be a figure of which some sum of multiples of published sums is made. */
const givenAway = (rows: readonly Row[]): string[][] => {
  const hidden = rows.filter((row) => row.suppressed);
  const sums = publishedSums(rows);
  const rooms = new Map(hidden.map((row) => [row.store, row.cutters]));
  const whole = rankOf(sums);
  return subsets([...rooms.keys()]).filter((few) => {
    const people = few.reduce((sum, store) => sum + (rooms.get(store) as number), 0);
    if (few.length >= 3 && people >= minimumGroup) return false;
    const outside = sums.map((sum) => sum.filter((_, i) => !few.includes((hidden[i] as Row).store)));
    return rankOf(outside) < whole;
  });
};

describe('what sums of small rooms are told apart by', () => {
  it('tells regions, items and habits where each is a crowd many times over', () => {
    const rows = Array.from({ length: 48 }, (_, i) =>
      loss(
        `s-${i}`,
        3 + (i % 2),
        ['North', 'South'][i % 2] as string,
        `i-${i % 3}`,
        `h-${Math.floor(i / 6) % 2}`,
      ),
    );
    expect(smallRoomsRows(rows, minimumGroup).map(({ by, name, stores }) => [by, name, stores])).toEqual([
      ['region', 'North', 24],
      ['region', 'South', 24],
      ['item', 'i-0', 16],
      ['item', 'i-1', 16],
      ['item', 'i-2', 16],
      ['habit', 'h-0', 24],
      ['habit', 'h-1', 24],
    ]);
    const { apart, together } = shownLosses(rows, minimumGroup);
    for (const by of dimensions)
      expect(apart[by].reduce((sum, row) => sum + row.value, 0)).toBeCloseTo(together?.value as number, 9);
    expect(givenAway(rows.slice(0, 12))).toEqual([]);
  });

  it('leaves a second region out with one that is too small, so that the rest is not its own', () => {
    const rows = [
      ...Array.from({ length: 8 }, (_, i) => loss(`n-${i}`, 3, 'North', '180')),
      ...Array.from({ length: 4 }, (_, i) => loss(`s-${i}`, 3, 'South', '180')),
      ...Array.from({ length: 5 }, (_, i) => loss(`e-${i}`, 3, 'East', '180')),
      loss('w-1', 4, 'West', '180'),
    ];
    expect([...namedSums(rows, minimumGroup).region].sort()).toEqual(['East', 'North']);
  });

  it('does not tell an item apart that less a region leaves one room, though both are crowds', () => {
    const north = ['a', 'b', 'c'].map((store) => loss(store, 4, 'North', '180'));
    const south = ['e', 'f', 'g', 'h'].map((store) => loss(store, 4, 'South', '184'));
    const rows = [...north, loss('d', 4, 'South', '180'), ...south];
    const named = namedSums(rows, minimumGroup);
    expect([...named.region].sort()).toEqual(['North', 'South']);
    expect([...named.item]).toEqual([]);
  });

  it('gives away no room, no two rooms and no few cutters, whatever is added to and taken from what', () => {
    const drawn = fc.array(
      fc.record({
        store: fc.integer({ min: 0, max: 8 }),
        item: fc.constantFrom('112A', '180', '184'),
        habit: fc.constantFrom('over-trimming', 'room-habit'),
      }),
      { minLength: 6, maxLength: 24 },
    );
    const rooms = fc.array(
      fc.record({ cutters: fc.integer({ min: 1, max: 5 }), region: fc.constantFrom('North', 'South') }),
      { minLength: 9, maxLength: 9 },
    );
    let told = 0;
    fc.assert(
      fc.property(drawn, rooms, (lines, all) => {
        const unique = [...new Map(lines.map((line) => [Object.values(line).join(' '), line])).values()];
        const rows = unique.map(({ store, item, habit }) => {
          const room = all[store] as { cutters: number; region: string };
          return loss(`s-${store}`, room.cutters, room.region, item, habit);
        });
        expect(givenAway(rows)).toEqual([]);
        told += smallRoomsRows(rows, minimumGroup).length;
      }),
      { numRuns: 150 },
    );
    expect(told).toBeGreaterThan(0);
  });

  it('chooses by rooms and cutters alone: the choice tells nothing of the money', () => {
    const rows = Array.from({ length: 12 }, (_, i) =>
      loss(`s-${i}`, 3, i < 9 ? 'North' : 'South', `i-${i % 2}`),
    );
    const names = (of: readonly Row[]) =>
      smallRoomsRows(of, minimumGroup)
        .map(({ by, name }) => `${by} ${name}`)
        .sort();
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 900 }), { minLength: 12, maxLength: 12 }), (money) => {
        expect(names(rows.map((row, i) => ({ ...row, moneyPerWeek: money[i] as number })))).toEqual(
          names(rows),
        );
      }),
      { numRuns: 20 },
    );
    expect(names(rows)).not.toEqual([]);
  });
});
