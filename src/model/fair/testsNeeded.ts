/** Share of the spread of a mean of n tests that is true difference: between / (between + within / n). Variances; n tests. */
export const reliabilityOf = (n: number, { between, within }: { between: number; within: number }): number =>
  n > 0 && between > 0 ? between / (between + within / n) : 0;

/**
 * More tests for a wanted reliability in (0, 1) of a level of which `variance` is left open now (`between` before any test, or what
 * few tests, mates and room leave): the least whole n with 1 - left / between >= R. Without any test R / (1 - R) within /
 * between (Adams et al. 2010 NEJM 362:1014 use R = 0.7 for single benchmarks). NaN where nothing differs between the compared.
 */
export const testsNeeded = (
  reliability: number,
  { between, within, variance = between }: { between: number; within: number; variance?: number },
): number =>
  between > 0
    ? Math.max(0, Math.ceil(within * (1 / ((1 - reliability) * between) - 1 / variance)))
    : Number.NaN;
