import { chiSquaredQuantile, chiSquaredUpper } from '../../tables/gammaDistribution.ts';
import { quantile } from '../../tables/quantile.ts';
import { deterministicMcd } from './deterministicMcd.ts';
import { distanceTails } from './distanceCutoff.ts';
import { ogk } from './ogk.ts';
import { qnScale } from './qnScale.ts';
import { squaredDistances } from './scatter.ts';
import { tauScale } from './tauScale.ts';

/** Beyond so many rows Qn gives way to the faster tau scale, as in Hubert, Rousseeuw & Verdonck 2012. */
const mostForQn = 1000;
/** Center and scatter come from at most so many rows. */
const mostRows = 5000;
const scaleFor = (n: number): ((values: Float64Array) => number) =>
  n > mostForQn ? tauScale : (values) => qnScale(values);

/**
 * Squared distances from the center of most rows and their tails: the chance that a row like the most lies as far out or
 * farther. NaN where a column is missing, and everywhere when there are too few rows (`too-few`: n <= 5 p) or the rows have
 * no spread in some direction (`no-spread`).
 */
export type RobustDistances = {
  status: 'mcd' | 'ogk' | 'too-few' | 'no-spread';
  squared: Float64Array;
  tail: Float64Array;
};

/**
 * Robust Mahalanobis distances by deterministic MCD with the cutoffs of Hardin & Rocke 2005, OGK (distances scaled to the
 * median of chi-squared) where MCD has no inverse. columns: p of n; `share` of the rows in the core (default 0.75).
 */
export const robustDistances = (columns: readonly Float64Array[], share = 0.75): RobustDistances => {
  const p = columns.length;
  const rows = columns[0]?.length ?? 0;
  const missing = (): Float64Array => new Float64Array(rows).fill(Number.NaN);
  const whole = [...Array(rows).keys()].filter((i) => columns.every((column) => Number.isFinite(column[i])));
  const n = whole.length;
  if (p === 0 || n <= 5 * p) return { status: 'too-few', squared: missing(), tail: missing() };
  const known = columns.map((column) => Float64Array.from(whole, (i) => column[i] as number));
  const found = byMcd(known, share) ?? byOgk(known);
  if (found === undefined) return { status: 'no-spread', squared: missing(), tail: missing() };
  const [squared, tail] = [missing(), missing()];
  for (const [k, i] of whole.entries()) {
    squared[i] = found.squared[k] as number;
    tail[i] = found.tail[k] as number;
  }
  return { status: found.status, squared, tail };
};

const byMcd = (columns: readonly Float64Array[], share: number): RobustDistances | undefined => {
  const sample = thinned(columns);
  const n = sample[0]?.length ?? 0;
  const mcd = deterministicMcd(sample, { share, scaleOf: scaleFor(n) });
  if (mcd === undefined) return undefined;
  const { squared, logDeterminant } = squaredDistances(columns, mcd.raw);
  if (logDeterminant === Number.NEGATIVE_INFINITY) return undefined;
  const shape = { n, p: columns.length, share: mcd.core.length / n };
  return { status: 'mcd', squared, tail: distanceTails(squared, shape) };
};

/** Every k-th row where there are many: enough for p center and p^2 scatter numbers, the same every night. */
const thinned = (columns: readonly Float64Array[]): readonly Float64Array[] => {
  const step = Math.ceil((columns[0]?.length ?? 0) / mostRows);
  return step <= 1 ? columns : columns.map((column) => column.filter((_, i) => i % step === 0));
};

const byOgk = (columns: readonly Float64Array[]): RobustDistances | undefined => {
  const sample = thinned(columns);
  const { squared } = squaredDistances(columns, ogk(sample, scaleFor(sample[0]?.length ?? 0)).raw);
  const median = quantile(squared, 0.5);
  if (!(median > 0)) return undefined;
  const scaled = squared.map((own) => (own * chiSquaredQuantile(0.5, columns.length)) / median);
  return {
    status: 'ogk',
    squared: scaled,
    tail: scaled.map((own) => chiSquaredUpper(own, columns.length)),
  };
};
