import { fUpper, fUpperQuantile } from '../../tables/betaDistribution.ts';

/** Pieces of one test weighed against the spec: how many, and how many too heavy or too light. */
export type WeighedPieces = { pieces: number; heavy: number; light: number };

/** A share of pieces out of spec given what was weighed: mean, 95 % interval, and the chance that it is above `limit`. */
export type OutOfSpec = { mean: number; low: number; high: number; limit: number; chance: number };

/** What the others' share counts for, in pieces. */
const priorPieces = 6;
/** One piece in five out of spec, and a tenth of the pieces more than the others: below, nobody is asked (common practice, no source). */
const leastShare = 0.2;
const leastGap = 0.1;

/** How many times the pieces of one test vary together beyond chance, from tests grouped by cutter; 1 or more. */
export const togetherness = (byCutter: readonly (readonly WeighedPieces[])[]): number => {
  let [squares, freedom] = [0, 0];
  for (const tests of byCutter) {
    const share = shareOut(tests);
    if (!(share > 0 && share < 1)) continue;
    for (const test of tests)
      squares += (test.pieces * (shareOut([test]) - share) ** 2) / (share * (1 - share));
    freedom += tests.length - 1;
  }
  return freedom > 0 ? Math.max(1, squares / freedom) : 1;
};

/** Share of the pieces out of spec; NaN without any. */
export const shareOut = (tests: readonly WeighedPieces[]): number => {
  const sum = (of: (test: WeighedPieces) => number): number =>
    tests.reduce((total, test) => total + of(test), 0);
  return sum((test) => test.heavy + test.light) / sum((test) => test.pieces);
};

/**
 * A cutter's share out of spec: beta posterior with what the others do as prior; pieces of one test count for fewer where
 * they vary together (`times` as often as by chance).
 */
export const outOfSpec = (
  own: readonly WeighedPieces[],
  { others, times }: { others: number; times: number },
): OutOfSpec => {
  const pieces = own.reduce((total, test) => total + test.pieces, 0) / times;
  const prior = Number.isNaN(others) ? leastShare : others;
  const out = priorPieces * prior + (pieces > 0 ? pieces * shareOut(own) : 0) + 0.5;
  const within = priorPieces + pieces + 1 - out;
  const limit = Math.max(leastShare, prior + leastGap);
  return {
    mean: out / (out + within),
    low: betaQuantile(0.975, out, within),
    high: betaQuantile(0.025, out, within),
    limit,
    chance: limit < 1 ? fUpper((within * limit) / (out * (1 - limit)), 2 * out, 2 * within) : 0,
  };
};

/** Where the upper tail of a beta distribution is `tail`: a beta is an F turned (a x F / (b + a x F)). */
const betaQuantile = (tail: number, a: number, b: number): number => {
  const f = fUpperQuantile(tail, 2 * a, 2 * b);
  return (a * f) / (b + a * f);
};
