/**
 * One p-value for several that may depend on each other: the mean of cot(pi p), equal weights, is nearly a standard Cauchy
 * variable under any correlation, best in the small tail that matters (Liu & Xie 2020 JASA 115:393). Missing p-values (NaN)
 * are left out; NaN for none left. p = 1 counts as 1 - 1/(2n), as it would outweigh all else.
 */
export const cauchyCombination = (pValues: ArrayLike<number>): number => {
  const known = Array.from(pValues).filter((p) => !Number.isNaN(p));
  if (known.length === 0) return Number.NaN;
  if (known.some((p) => p <= 0)) return 0;
  const most = 1 - 1 / (2 * known.length);
  const mean = known.reduce((sum, p) => sum + 1 / Math.tan(Math.PI * Math.min(p, most)), 0) / known.length;
  return Math.atan2(1, mean) / Math.PI;
};
