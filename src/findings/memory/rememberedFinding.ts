import { isoFromDay } from '../../units/calendarDay.ts';
import type { FindingRow, LossRow } from '../found.ts';
import { type HabitContext, habitFinding } from '../habitFinding.ts';
import { resolvedFinding } from '../writtenFinding.ts';
import type { RememberedHabit } from './rememberedHabits.ts';

/**
 * The finding of a remembered habit: with its status and the day since when, on the tests of the present level alone. What
 * is resolved is told as it was, without money and without losses.
 */
export const rememberedFinding = (
  { habit, status, sinceDay, countsFrom }: RememberedHabit,
  context: HabitContext,
): { finding: FindingRow; losses: LossRow[] }[] => {
  const isOver = status === 'resolved';
  const testsOf: HabitContext['testsOf'] = (of, id, item) =>
    context.testsOf(of, id, item).filter((test) => isOver || !(test.cutDay < countsFrom));
  return habitFinding(habit, { ...context, testsOf, isOver }).map(({ finding, losses }) => {
    const dated = { ...finding, status, since: isoFromDay(sinceDay) };
    return isOver ? { finding: resolvedFinding(dated), losses: [] } : { finding: dated, losses };
  });
};
