import { isoFromDay } from '../../units/calendarDay.ts';
import type { FindingRow } from '../found.ts';
import { type HabitContext, habitFinding } from '../habitFinding.ts';
import { resolvedFinding } from '../writtenFinding.ts';
import { pooledFinding, type ToldHabit } from './pooledFinding.ts';
import type { DatedHabit, RememberedHabit } from './rememberedHabits.ts';

/**
 * The finding of a remembered habit: with its status and the day since when, on the tests of the present level alone; one
 * on all items where it is one habit. What is resolved is told as it was, without money and without losses.
 */
export const rememberedFinding = (
  { parts, whole, status }: RememberedHabit,
  context: HabitContext,
): ToldHabit[] => {
  const told = parts.map((part) => partFinding(part, status, context));
  return whole === undefined ? told : [pooledFinding(told, whole, context.chain)];
};

const partFinding = (
  { habit, sinceDay, countsFrom }: DatedHabit,
  status: FindingRow['status'],
  context: HabitContext,
): ToldHabit => {
  const isOver = status === 'resolved';
  const testsOf: HabitContext['testsOf'] = (of, id, item) =>
    context.testsOf(of, id, item).filter((test) => isOver || !(test.cutDay < countsFrom));
  const { finding, losses } = habitFinding(habit, { ...context, testsOf, isOver });
  const dated = { ...finding, status, since: isoFromDay(sinceDay) };
  const valueSd = habit.value.sd;
  return isOver
    ? { finding: resolvedFinding(dated), losses: [], valueSd }
    : { finding: dated, losses, valueSd };
};
