import type { Chain } from '../catalog/chain.ts';
import { classOutcomes, classWords, soldClasses } from '../catalog/outcomes.ts';
import { type FindingWords, findingWords, stepOf } from '../faults/findingKinds.ts';
import { noVolume } from '../money/volumeWeeks.ts';
import { chainNumbers, sizeRange } from './chainNumbers.ts';
import type { Habit } from './cutterFindings.ts';

/** A class that moved by less than this share of the habit is not named. */
const told = 0.15;

/** Classes that took up what the habit's class lost, or lost what it took up, the largest first; points above 0. */
const wentTo = ({ on, all }: Habit): [string, number][] => {
  const side = -Math.sign(on.effect);
  const isPart = (outcome: string): boolean =>
    outcome !== on.outcome && (on.outcome !== 'saleable' || !saleable.has(outcome));
  return classOutcomes
    .flatMap((outcome): [string, number][] => {
      const moved = side * (all.find((row) => row.outcome === outcome)?.effect ?? 0);
      return isPart(outcome) && moved > told * Math.abs(on.effect) ? [[classWords[outcome], moved]] : [];
    })
    .sort((a, b) => b[1] - a[1]);
};
const saleable: ReadonlySet<string> = new Set(soldClasses);

/** The class that took up (or gave) most of what the habit moved, in words; '' where none stands out. */
export const wentMost = (habit: Habit): string => wentTo(habit)[0]?.[0] ?? '';

const wentText = (habit: Habit, number: Intl.NumberFormat): string =>
  wentTo(habit)
    .map(([word, points]) => `${word} (${number.format(points)})`)
    .join(' and ');

/** Money of a habit as its headline says it: a week's, or of the tests seen where no recent volume is known. */
export type HabitMoney = { moneyPerWeek: number; moneyLow: number; moneyHigh: number; isWeekly: boolean };

/** Words and step of a habit; `items`: what it is told on, `seen`: what was measured beside the weights, in words. */
export const habitText = (
  habit: Habit,
  { items, against, money, seen = '' }: { items: string; against: string; money: HabitMoney; seen?: string },
  chain: Chain,
): FindingWords & { step: string; went: string } => {
  const { on, kind } = habit;
  const { points: number, cash, tests } = chainNumbers(chain);
  const words = findingWords(kind, {
    who: on.id,
    item: items,
    size: number.format(Math.abs(on.effect)),
    range: sizeRange(on, number),
    tests: tests(on.tests),
    against,
    money:
      money.moneyPerWeek > 0
        ? `${cash.format(money.moneyPerWeek)} ${money.isWeekly ? 'a week' : `in the tests seen (${noVolume})`} (${cash.format(money.moneyLow)} to ${cash.format(money.moneyHigh)})`
        : '',
    went: wentText(habit, number),
    seen,
  });
  const went = wentMost(habit);
  return { ...words, step: stepOf(kind, went), went };
};
