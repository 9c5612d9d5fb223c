import type { Chain } from '../../catalog/chain.ts';
import type { EffectRow } from '../../model/modeled.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import type { Habit } from '../cutterFindings.ts';

/** A habit on the items that show it; `whole`: the same on the pooled effects, where it is one habit on several items. */
export type HabitGroup = { habits: readonly Habit[]; whole: Habit | undefined };

/** Chance from which the pooled effect shows a habit that its items tell, and the least share of the tests on these items. */
const heldFrom = 0.8;
const leastShare = 0.5;

/**
 * One habit on several items of a cutter or a room is one, where the pooled effect shows it too and at least half of the
 * tests are of these items; else each item's stands alone. `pooledOf`: effects of the same cutter or store on all items.
 */
export const habitGroups = (
  habits: readonly Habit[],
  pooledOf: (on: EffectRow) => readonly EffectRow[],
  chain: Chain,
): HabitGroup[] => {
  const groups = groupedBy(
    habits,
    ({ kind, on }) => `${kind}\u0000${on.kind}\u0000${on.id}\u0000${Math.sign(on.effect)}`,
  );
  return [...groups.values()].flatMap((own): HabitGroup[] => {
    const whole = own.length < 2 ? undefined : wholeHabit(own, pooledOf((own[0] as Habit).on), chain);
    return whole === undefined ? own.map((habit) => ({ habits: [habit], whole })) : [{ habits: own, whole }];
  });
};

/** The habit on the pooled effects; undefined where they do not show it. */
const wholeHabit = (own: readonly Habit[], rows: readonly EffectRow[], chain: Chain): Habit | undefined => {
  const { kind, on: first } = own[0] as Habit;
  const on = rows.find((row) => row.outcome === first.outcome);
  const value = rows.find((row) => row.outcome === 'value');
  if (on === undefined || value === undefined || on.status !== 'ok') return undefined;
  const tests = own.reduce((sum, habit) => sum + habit.on.tests, 0);
  const isHeld =
    Math.sign(on.effect) === Math.sign(first.effect) &&
    Math.abs(on.effect) > chain.thresholds.effect_points &&
    on.chanceBeyond >= heldFrom &&
    tests >= leastShare * on.tests;
  return isHeld ? { kind, on, value, all: rows } : undefined;
};
