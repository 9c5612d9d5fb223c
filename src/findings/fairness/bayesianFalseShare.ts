/** Which are listed, how many, and the expected share of false ones among them (0 when none is listed). */
export type ListedFindings = { isListed: boolean[]; count: number; falseShare: number };

/**
 * The longest list, best first, whose expected share of false findings stays within `most`: the mean of 1 - chance over the
 * list (Bayesian false discovery rate; Newton, Noueiry, Sarkar & Ahlquist 2004 Biostatistics 5:155). chances: posterior
 * probability that each finding is true. Equal chances are listed together or not at all, so order does not matter; a
 * missing chance (NaN) is never listed.
 */
export const listWithinFalseShare = (chances: readonly number[], most: number): ListedFindings => {
  const sorted = chances.filter((chance) => !Number.isNaN(chance)).sort((a, b) => b - a);
  let count = 0;
  let doubt = 0;
  let falseShare = 0;
  for (const [i, chance] of sorted.entries()) {
    doubt += 1 - chance;
    if (doubt / (i + 1) > most) break;
    if (sorted[i + 1] === chance) continue;
    count = i + 1;
    falseShare = doubt / count;
  }
  const least = count > 0 ? (sorted[count - 1] as number) : Number.POSITIVE_INFINITY;
  return { isListed: chances.map((chance) => chance >= least), count, falseShare };
};
