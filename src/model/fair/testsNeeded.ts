/** Share of the spread of a mean of n tests that is true difference: between / (between + within / n). Variances; n tests. */
export const reliabilityOf = (n: number, { between, within }: { between: number; within: number }): number =>
  n > 0 && between > 0 ? between / (between + within / n) : 0;

/**
 * Tests for a wanted reliability in (0, 1): the least whole n >= R / (1 - R) within / between (Adams et al. 2010 NEJM
 * 362:1014 use R = 0.7 for single benchmarks). NaN where nothing differs between the compared.
 */
export const testsNeeded = (
  reliability: number,
  { between, within }: { between: number; within: number },
): number => (between > 0 ? Math.ceil(((reliability / (1 - reliability)) * within) / between) : Number.NaN);
