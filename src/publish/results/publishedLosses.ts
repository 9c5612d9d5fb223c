import type { LossRow } from '../../findings/found.ts';
import { roomsApart, roomsTogether } from '../pages/losses.ts';
import { type Dimension, dimensions } from '../pages/smallRooms.ts';

/** A sum over small rooms that share a region, an item or a habit. */
export type SmallRoomsRow = {
  by: Dimension;
  name: string;
  moneyPerWeek: number;
  low: number;
  high: number;
  tests: number;
  stores: number;
};

/**
 * Losses as losses.csv gives them away: a small room's figures are empty (NaN), and all small rooms stand together in one
 * row without names only where that row hides each of them (pages/losses). So no figure, and no difference of two, is a
 * small room's.
 */
export const publishedLosses = (losses: readonly LossRow[], minimumGroup: number): LossRow[] => {
  const together = roomsTogether(losses, minimumGroup);
  const rows = losses.map((row) =>
    row.suppressed
      ? { ...row, moneyPerWeek: Number.NaN, low: Number.NaN, high: Number.NaN, tests: Number.NaN }
      : row,
  );
  if (together === undefined) return rows;
  const rooms = new Map(losses.filter((row) => row.suppressed).map((row) => [row.store, row.cutters]));
  const { value, low, high, tests } = together;
  return [
    ...rows,
    {
      region: '',
      store: '',
      item: '',
      habit: '',
      moneyPerWeek: value,
      low,
      high,
      tests,
      cutters: [...rooms.values()].reduce((sum, cutters) => sum + cutters, 0),
      suppressed: false,
    },
  ];
};

/** The money of small rooms by region, by item and by habit, each on its own, where that gives no room away. */
export const smallRoomsRows = (losses: readonly LossRow[], minimumGroup: number): SmallRoomsRow[] => {
  const apart = roomsApart(losses, minimumGroup);
  return dimensions.flatMap((by) =>
    apart[by].map(({ name, value, low, high, tests, stores }) => ({
      by,
      name,
      moneyPerWeek: value,
      low,
      high,
      tests,
      stores,
    })),
  );
};
