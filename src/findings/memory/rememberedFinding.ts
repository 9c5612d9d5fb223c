import { isoFromDay } from '../../units/calendarDay.ts';
import type { FindingRow, LossRow } from '../found.ts';
import { type HabitContext, habitFinding } from '../habitFinding.ts';
import type { RememberedHabit } from './rememberedHabits.ts';

/**
 * The finding of a remembered habit: with its status and the day since when, on the tests of the present level alone. What
 * is resolved is told as it was, without money and without losses.
 */
export const rememberedFinding = (
  { habit, status, sinceDay, countsFrom }: RememberedHabit,
  context: HabitContext,
): { finding: FindingRow; losses: LossRow[] }[] => {
  const isResolved = status === 'resolved';
  const testsOf: HabitContext['testsOf'] = (of, id, item) =>
    context.testsOf(of, id, item).filter((test) => isResolved || !(test.cutDay < countsFrom));
  return habitFinding(habit, { ...context, testsOf }).map(({ finding, losses }) => ({
    finding: {
      ...finding,
      status,
      since: isoFromDay(sinceDay),
      ...(isResolved ? { ...withoutMoney, headline: `Resolved: ${finding.headline}` } : {}),
    },
    losses: isResolved ? [] : losses,
  }));
};

const withoutMoney = { moneyPerWeek: Number.NaN, moneyLow: Number.NaN, moneyHigh: Number.NaN };
