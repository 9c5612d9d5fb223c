import type { Formats } from './formats.ts';

/** An amount with its 95 % interval. */
export type MoneyRange = { value: number; low: number; high: number };

/** An amount whose interval reaches down to 0: that it costs anything is not sure. */
const maybeNothing = ({ low }: MoneyRange): boolean => low <= 0;

/** An amount with its interval within a sentence: `about $68 a week ($35 to $100)`; what is not surely above 0 says so. */
export const moneyText = (sum: MoneyRange, span: string, write: Formats): string => {
  const [value, low, high] = write.moneyAlike(sum.value, sum.low, sum.high);
  return `about ${value} ${span}${maybeNothing(sum) ? ', perhaps nothing' : ''} (${low} to ${high})`;
};

/** The same for the side of an action: the amount, and beside it over what time and with what interval. */
export const moneyAside = (
  sum: MoneyRange,
  span: string,
  write: Formats,
): { worth: string; worthNote: string } => {
  const [worth = '', low, high] = write.moneyAlike(sum.value, sum.low, sum.high);
  return { worth, worthNote: `${span}, ${low} to ${high}${maybeNothing(sum) ? ': perhaps nothing' : ''}` };
};
