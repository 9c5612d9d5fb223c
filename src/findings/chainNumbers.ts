import type { Chain } from '../catalog/chain.ts';
import { countedTests } from '../units/counted.ts';

export type ChainNumbers = Record<'points' | 'percent' | 'cash' | 'whole', Intl.NumberFormat> & {
  /** A number of tests in words: `1,200 tests`. */
  tests: (count: number) => string;
};

/** How headlines say numbers in the chain's language: points with one decimal, whole per cent, money in its currency. */
export const chainNumbers = ({ language, currency }: Pick<Chain, 'language' | 'currency'>): ChainNumbers => {
  const whole = new Intl.NumberFormat(language, { maximumFractionDigits: 0 });
  return {
    whole,
    tests: (count) => countedTests(count, (value) => whole.format(value)),
    points: new Intl.NumberFormat(language, { minimumFractionDigits: 1, maximumFractionDigits: 1 }),
    percent: new Intl.NumberFormat(language, { style: 'percent', maximumFractionDigits: 0 }),
    cash: new Intl.NumberFormat(language, { style: 'currency', currency }),
  };
};

/** Interval of a difference told by its size: on the side of the difference, the smaller end first. */
export const sizeRange = (
  { effect, low, high }: { effect: number; low: number; high: number },
  number: Intl.NumberFormat,
): string => {
  const [near, far] = effect < 0 ? [-high, -low] : [low, high];
  return `95 % interval ${number.format(near)} to ${number.format(far)}`;
};
