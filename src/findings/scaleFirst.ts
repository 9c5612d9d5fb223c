import type { TimeLevels } from './change/timeLevels.ts';
import type { Habit } from './cutterFindings.ts';
import type { FindingRow } from './found.ts';

/** Stores asked about their scale since a day, with how much of what is missing over all their tests began that day, points. */
export type ScaleFirst = ReadonlyMap<string, number>;

/**
 * What the changes of whole stores that are told tonight explain of what is missing there: the scale is asked about first, and
 * what it makes go missing is no loss of the room.
 */
export const scaleFirst = ({ people, stores }: TimeLevels, told: readonly FindingRow[]): ScaleFirst => {
  const asked = new Set(told.flatMap(({ kind, store }) => (kind === 'scale-question' ? [store] : [])));
  const tests = new Map<number, number>();
  for (const code of people.store.codes) tests.set(code, (tests.get(code) ?? 0) + 1);
  const explained = new Map<string, number>();
  for (const { store, size, after } of stores) {
    const name = people.store.levels[store] as string;
    if (!asked.has(name)) continue;
    const began = (size.unaccounted.shift * after.length) / (tests.get(store) as number);
    explained.set(name, (explained.get(name) ?? 0) + began);
  }
  return explained;
};

/** Weight missing in a room of which a scale asked about leaves less than the threshold of points. */
export const isOfScale = ({ kind, on }: Habit, scale: ScaleFirst, threshold: number): boolean =>
  kind === 'loss-high' && scale.has(on.id) && on.effect - (scale.get(on.id) as number) < threshold;
