import type { Chain } from '../catalog/chain.ts';

export type ChainNumbers = Record<'points' | 'percent' | 'cash', Intl.NumberFormat>;

/** How headlines say numbers in the chain's language: points with one decimal, whole per cent, money in its currency. */
export const chainNumbers = ({ language, currency }: Pick<Chain, 'language' | 'currency'>): ChainNumbers => ({
  points: new Intl.NumberFormat(language, { minimumFractionDigits: 1, maximumFractionDigits: 1 }),
  percent: new Intl.NumberFormat(language, { style: 'percent', maximumFractionDigits: 0 }),
  cash: new Intl.NumberFormat(language, { style: 'currency', currency }),
});
