import { habits, skillShape } from './compositions.ts';
import type { DrawnPiece } from './drawPieces.ts';
import type { SimCutter } from './simulated.ts';

/** What the cutter and the store move in a test, points by class. */
export const peopleShift = (
  piece: Pick<DrawnPiece, 'cutter' | 'store' | 'item' | 'day'>,
): { cutter: Float64Array; store: Float64Array } => {
  const { store, item, day } = piece;
  const change = store.change !== undefined && day >= store.change.day ? store.change.size : 0;
  return {
    cutter: cutterShift(piece.cutter, item.item, day),
    store: sumOf([
      [skillShape, store.skill + (store.itemSkill[item.item] as number) + change],
      ...(store.room?.item === item.item ? [[habits[store.room.kind].shape, store.room.size] as const] : []),
    ]),
  };
};

/** What a cutter moves on an item on a day, points by class: skill, habit, change, learning and coaching. */
export const cutterShift = (cutter: SimCutter, item: string, day: number): Float64Array => {
  const { habit, drift, coached } = cutter;
  const isCoached =
    coached !== undefined && day > coached.day && (coached.item === '' || coached.item === item);
  const hasHabit = habit?.items.includes(item) === true && !(isCoached && coached.curesHabit);
  const skill =
    cutter.skill +
    (cutter.itemSkill[item] as number) +
    (drift !== undefined && day >= drift.day ? drift.size : 0) -
    cutter.learning * 2 ** (-Math.max(0, day - cutter.sinceDay) / 60) +
    (isCoached ? coached.gain : 0);
  return sumOf([
    [skillShape, skill],
    ...(habit !== undefined && hasHabit ? [[habits[habit.kind].shape, habit.size] as const] : []),
  ]);
};

const sumOf = (parts: readonly (readonly [Float64Array, number])[]): Float64Array =>
  skillShape.map((_, k) => parts.reduce((sum, [shape, size]) => sum + size * (shape[k] as number), 0));
