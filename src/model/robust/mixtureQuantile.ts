import { normalCdf } from '../../tables/normalDistribution.ts';

/** Quantile of a mixture of normals (shares add to 1) by bisection to 1e-10 of its width; sd 0 is a point. */
export const mixtureQuantile = (
  parts: readonly { share: number; mean: number; sd: number }[],
  probability: number,
): number => {
  const known = parts.filter((part) => part.share > 0);
  let low = Math.min(...known.map((part) => part.mean - 9 * part.sd));
  let high = Math.max(...known.map((part) => part.mean + 9 * part.sd));
  const below = (x: number): number =>
    known.reduce(
      (sum, part) =>
        sum + part.share * (part.sd > 0 ? normalCdf((x - part.mean) / part.sd) : x >= part.mean ? 1 : 0),
      0,
    );
  for (let round = 0; round < 48; round++) {
    const middle = (low + high) / 2;
    if (below(middle) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};
