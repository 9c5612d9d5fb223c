import type { Chain } from '../catalog/chain.ts';
import type { EffectRow } from '../model/modeled.ts';
import type { Habit } from './cutterFindings.ts';
import type { RoomApart } from './fewPeople.ts';

/** What a room differs by from the other stores on the item and outcome of a person's effect; 0 where it is not known. */
export type RoomOf = (on: EffectRow) => number;

/** Looks up the rooms of people's effects. */
export const roomsOf = (effects: readonly EffectRow[]): RoomOf => {
  const keyOf = (store: string, { item, outcome }: EffectRow): string =>
    `${store}\u0000${item}\u0000${outcome}`;
  const rooms = new Map(
    effects.filter(({ kind }) => kind === 'store-item').map((row) => [keyOf(row.id, row), row.effect]),
  );
  return (on) => rooms.get(keyOf(on.store, on)) ?? 0;
};

/**
 * Whether a person with a habit lies beyond the threshold on its side together with the room, so from the chain too. Where the
 * people of a small room fall apart, the tests do not tell which of them the room is like: one who cuts as the chain does
 * is not named because the others do not.
 */
export const isOffWithRoom = ({ on }: Habit, roomOf: RoomOf, { thresholds }: Chain): boolean =>
  on.kind !== 'cutter-item' || Math.sign(on.effect) * (on.effect + roomOf(on)) >= thresholds.effect_points;

/** The room of a person who differs from it but not from the chain. */
export const roomApart = ({ on: { store, item, outcome } }: Habit): RoomApart => ({
  store,
  item,
  outcome: outcome === 'unaccounted' || outcome === 'lean_trim' ? outcome : 'main_cut',
});

/** A split is open where it leaves a person less sure by this factor than the tests alone do. */
const openFrom = 2;

/**
 * Rooms in which somebody is surely beyond the threshold together with the room, while it is open whether the room is off or
 * the person: of main cut, and of what is missing.
 */
export const openSplits = (
  effects: readonly EffectRow[],
  roomOf: RoomOf,
  { thresholds }: Chain,
): RoomApart[] =>
  effects.flatMap((row): RoomApart[] => {
    const { kind, store, item, outcome } = row;
    if (kind !== 'cutter-item' || row.status !== 'ok') return [];
    if (outcome !== 'main_cut' && outcome !== 'unaccounted') return [];
    const isOpen =
      row.chanceBeyond < thresholds.chance &&
      row.sd > openFrom * row.differenceSd &&
      Math.abs(row.effect + roomOf(row)) > thresholds.effect_points;
    return isOpen ? [{ store, item, outcome }] : [];
  });
