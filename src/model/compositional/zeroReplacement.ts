/** Share of the smallest weighable part that stands for a zero (Martin-Fernandez, Barcelo-Vidal & Pawlowsky-Glahn 2003). */
const shareOfLimit = 0.65;

/**
 * Multiplicative replacement of rounding zeros (Martin-Fernandez, Barcelo-Vidal & Pawlowsky-Glahn 2003 Math. Geol. 35:253):
 * a zero becomes 0.65 of its limit, the other parts shrink by the same factor, so that all still add to 1 and the ratios of
 * parts that were weighed stay. parts add to 1; limits: smallest part that can be told from 0 (resolution / whole), one for
 * all or one a part. Zeros by nature do not belong here: leave such a part out.
 */
export const zeroReplacement = (
  parts: ArrayLike<number>,
  limits: number | ArrayLike<number>,
): Float64Array => {
  const limit = (j: number): number => (typeof limits === 'number' ? limits : (limits[j] as number));
  const own = Float64Array.from(parts);
  const added = own.reduce((sum, part, j) => (part === 0 ? sum + shareOfLimit * limit(j) : sum), 0);
  return own.map((part, j) => (part === 0 ? shareOfLimit * limit(j) : part * (1 - added)));
};
