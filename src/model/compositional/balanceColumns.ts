import { closure } from './closure.ts';
import { ilr } from './logRatios.ts';
import { zeroReplacement } from './zeroReplacement.ts';

/**
 * Isometric log-ratios of n compositions given as D columns of n amounts: closed, zeros replaced by the resolution of the
 * scale over the row's whole, as D - 1 columns of n. resolution: smallest difference the scale shows, unit of the amounts,
 * one a row. NaN in every column of a row with a missing or negative amount or nothing at all: that is a finding, not a
 * composition.
 */
export const balanceColumns = (
  amounts: readonly Float64Array[],
  resolution: ArrayLike<number>,
): Float64Array[] => {
  const n = amounts[0]?.length ?? 0;
  const balances = amounts.slice(1).map(() => new Float64Array(n));
  for (let i = 0; i < n; i++) {
    const own = amounts.map((column) => column[i] as number);
    const whole = own.reduce((sum, amount) => sum + amount, 0);
    const parts = zeroReplacement(closure(own), (resolution[i] as number) / whole);
    for (const [j, value] of ilr(parts).entries()) (balances[j] as Float64Array)[i] = value;
  }
  return balances;
};
