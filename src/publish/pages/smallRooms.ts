import type { LossRow } from '../../findings/found.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { groups } from './groups.ts';

/** What sums of small rooms may be told apart by, one at a time; what is most wanted stands first. */
export const dimensions = ['region', 'item', 'habit'] as const;
export type Dimension = (typeof dimensions)[number];
export type Named = Record<Dimension, ReadonlySet<string>>;
type RoomLoss = Pick<LossRow, 'store' | 'cutters' | Dimension>;

const fewestStores = 3;

/** Whether rows hide each room in their sum: at least 3 stores, and at least `minimumGroup` cutters work in them. */
export const isCrowd = (
  rows: readonly Pick<LossRow, 'store' | 'cutters'>[],
  minimumGroup: number,
): boolean => {
  const rooms = new Map(rows.map((row) => [row.store, row.cutters]));
  const people = [...rooms.values()].reduce((sum, cutters) => sum + cutters, 0);
  return rooms.size >= fewestStores && people >= minimumGroup;
};

/**
 * The regions, items and habits whose sums over small rooms may be published beside the sum of all `hidden` rows. Each is a
 * crowd, and so is what is left of all when the named ones are taken away; and no adding and taking away of published sums,
 * also across dimensions, leaves figures of fewer rooms than a crowd (`mayGiveAway`). Where one must go, it is the smallest.
 * What is chosen depends on rooms and cutters alone, never on money, so that the choice tells nothing either.
 */
export const namedSums = (hidden: readonly RoomLoss[], minimumGroup: number): Named => {
  const named = { region: new Set<string>(), item: new Set<string>(), habit: new Set<string>() };
  if (!isCrowd(hidden, minimumGroup)) return named;
  for (const dimension of dimensions) {
    const classes = bySize(hidden, dimension).filter(([, rows]) => isCrowd(rows, minimumGroup));
    for (let kept = classes.length; kept > 0; kept--) {
      const set = new Set(classes.slice(0, kept).map(([key]) => key));
      const rest = hidden.filter((row) => !set.has(row[dimension]));
      if (rest.length > 0 && !isCrowd(rest, minimumGroup)) continue;
      if (mayGiveAway(hidden, { ...named, [dimension]: set }, minimumGroup)) continue;
      named[dimension] = set;
      break;
    }
  }
  return named;
};

const bySize = (rows: readonly RoomLoss[], dimension: Dimension): [string, RoomLoss[]][] => {
  const size = (own: readonly RoomLoss[]): number => new Set(own.map((row) => row.store)).size;
  return groups(rows, (row) => row[dimension]).sort(([, a], [, b]) => size(b) - size(a));
};

/** A room with its rows as vectors: 1 at each published sum that the row is part of. */
type Room = { store: string; cutters: number; vectors: Float64Array[] };

/**
 * Whether some combination of the published sums may be made of rows of fewer rooms than a crowd. Such a combination is 0
 * on all rows outside these rooms. It cannot be 0 on a whole basis of all rows, so it has a room in each basis. Where bases
 * that share no room are so many that even the smallest room of each makes a crowd, there is none. The answer errs on the
 * careful side: other bases might have done.
 */
const mayGiveAway = (hidden: readonly RoomLoss[], named: Named, minimumGroup: number): boolean => {
  let rooms = roomsOf(hidden, named);
  const { rank } = basisOf(rooms);
  const smallest: Room[] = [];
  for (;;) {
    const basis = basisOf(rooms);
    if (basis.rank < rank) return true;
    smallest.push(basis.rooms.reduce((least, room) => (room.cutters < least.cutters ? room : least)));
    if (isCrowd(smallest, minimumGroup)) return false;
    rooms = rooms.filter((room) => !basis.rooms.includes(room));
  }
};

/** Rooms that stand only in sums of many rooms first: what is rare is left for later bases. */
const roomsOf = (hidden: readonly RoomLoss[], named: Named): Room[] => {
  const places = new Map<string, { at: number; stores: Set<string> }>();
  for (const row of hidden)
    for (const place of placesOf(row, named)) {
      const known = places.get(place) ?? { at: places.size, stores: new Set() };
      known.stores.add(row.store);
      places.set(place, known);
    }
  const own = (row: RoomLoss) => placesOf(row, named).flatMap((place) => places.get(place) ?? []);
  return [...groupedBy(hidden, (row) => row.store)]
    .map(([store, rows]) => ({
      store,
      cutters: rows[0]?.cutters ?? 0,
      rarest: Math.min(...rows.flatMap((row) => own(row).map((place) => place.stores.size))),
      vectors: rows.map((row) => {
        const vector = new Float64Array(places.size);
        for (const { at } of own(row)) vector[at] = 1;
        return vector;
      }),
    }))
    .sort((a, b) => b.rarest - a.rarest);
};

/** The sums that a row is part of, one a dimension: its own where that is named, what is left of all else. */
const placesOf = (row: RoomLoss, named: Named): string[] =>
  dimensions.map((by) => `${by}\u0000${named[by].has(row[by]) ? `\u0000${row[by]}` : ''}`);

const zero = 1e-9;

/** Rank of the rooms' rows, and the rooms that a basis of them was taken from. */
const basisOf = (rooms: readonly Room[]): { rank: number; rooms: Room[] } => {
  const pivots = new Map<number, Float64Array>();
  const taken = new Set<Room>();
  for (const room of rooms)
    for (const vector of room.vectors) {
      const rest = reduced(vector, pivots);
      const pivot = rest.findIndex((value) => Math.abs(value) > zero);
      if (pivot < 0) continue;
      pivots.set(pivot, rest);
      taken.add(room);
    }
  return { rank: pivots.size, rooms: [...taken] };
};

/** What is left of a vector when every pivot's row is taken out of it in the order of the places. */
const reduced = (vector: Float64Array, pivots: ReadonlyMap<number, Float64Array>): Float64Array => {
  const rest = vector.slice();
  for (let place = 0; place < rest.length; place++) {
    const row = pivots.get(place);
    const value = rest[place] as number;
    if (row === undefined || Math.abs(value) <= zero) continue;
    const factor = value / (row[place] as number);
    for (let j = place; j < rest.length; j++) rest[j] = (rest[j] as number) - factor * (row[j] as number);
  }
  return rest;
};
