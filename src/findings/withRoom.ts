import type { Chain } from '../catalog/chain.ts';
import type { EffectRow } from '../model/modeled.ts';
import type { Habit } from './cutterFindings.ts';

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
