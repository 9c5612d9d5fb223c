/**
 * Adjusted p-values of Benjamini & Hochberg (1995 JRSSB 57:289): flagging those at or below q keeps the expected share of
 * false flags at q. Order kept; a missing p-value (NaN) stays NaN and does not count as a test.
 */
export const benjaminiHochberg = (pValues: ArrayLike<number>): Float64Array => {
  const adjusted = Float64Array.from(pValues);
  const order = [...adjusted.keys()].filter((i) => !Number.isNaN(adjusted[i] as number));
  order.sort((i, j) => (pValues[j] as number) - (pValues[i] as number));
  let least = 1;
  for (const [place, i] of order.entries()) {
    const rank = order.length - place;
    least = Math.min(least, ((pValues[i] as number) * order.length) / rank);
    adjusted[i] = least;
  }
  return adjusted;
};
