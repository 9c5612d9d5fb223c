import { normalQuantile } from '../../tables/normalDistribution.ts';
import { quantile } from '../../tables/quantile.ts';
import { symmetricEigen } from '../linalg/symmetricEigen.ts';
import { pairwiseCovariances, projected, type ScaleOf } from './ogk.ts';
import { scatterOf, smallestPlaces, squaredDistances } from './scatter.ts';

/**
 * Six rough cores of n / 2 rows of standardized columns (median 0, scale 1), each from another robust scatter, without any
 * chance (Hubert, Rousseeuw & Verdonck 2012 JCGS 21:618): correlations of tanh, of ranks and of normal scores, spatial
 * signs, the innermost half, pairwise covariances. Each scatter gives only its axes; spread along them is measured anew.
 */
export const initialCores = (standard: readonly Float64Array[], scaleOf: ScaleOf): Int32Array[] => {
  const n = standard[0]?.length ?? 0;
  const norms = rowNorms(standard);
  const all = Int32Array.from({ length: n }, (_, i) => i);
  const half = Math.ceil(n / 2);
  const ranked = standard.map(midRanks);
  const scores = ranked.map((column) => column.map((rank) => normalQuantile((rank - 1 / 3) / (n + 1 / 3))));
  const signs = standard.map((column) =>
    column.map((value, i) => ((norms[i] as number) > 1e-15 ? value / (norms[i] as number) : value)),
  );
  const matrices = [
    correlation(
      standard.map((column) => column.map(Math.tanh)),
      all,
    ),
    correlation(ranked, all),
    correlation(scores, all),
    crossProducts(signs),
    scatterOf(standard, smallestPlaces(norms, half)).covariance,
    pairwiseCovariances(standard, scaleOf),
  ];
  return matrices.map((matrix) => coreAlong(standard, symmetricEigen(matrix).vectors, { scaleOf, half }));
};

/** The innermost half of the rows by distance with robust spreads along the axes about a median in the sphered space. */
const coreAlong = (
  standard: readonly Float64Array[],
  axes: readonly Float64Array[],
  { scaleOf, half }: { scaleOf: ScaleOf; half: number },
): Int32Array => {
  const turned = projected(standard, axes);
  const spreads = turned.map(scaleOf);
  const usable = (k: number): number =>
    (spreads[k] as number) > 0 ? (spreads[k] as number) : Number.POSITIVE_INFINITY;
  const sphered = turned.map((column, k) => column.map((value) => value / usable(k)));
  // medians are taken in the sphered space turned back, then seen along the axes again
  const back = standard.map((_, a) => axes.map((axis) => axis[a] as number));
  const medians = projected(
    sphered,
    back.map((row) => Float64Array.from(row)),
  ).map((column) => quantile(column, 0.5));
  const center = axes.map((axis) => axis.reduce((sum, share, a) => sum + share * (medians[a] as number), 0));
  const squared = new Float64Array(standard[0]?.length ?? 0);
  for (const [k, column] of sphered.entries())
    for (let i = 0; i < squared.length; i++)
      squared[i] = (squared[i] as number) + ((column[i] as number) - (center[k] as number)) ** 2;
  return smallestPlaces(squared, half);
};

/** A core of `size` rows from the distances by mean and covariance of another core; undefined when that has no inverse. */
export const concentrated = (
  columns: readonly Float64Array[],
  core: Int32Array,
  size: number,
): { core: Int32Array; logDeterminant: number } | undefined => {
  const { squared, logDeterminant } = squaredDistances(columns, scatterOf(columns, core));
  return logDeterminant === Number.NEGATIVE_INFINITY
    ? undefined
    : { core: smallestPlaces(squared, size), logDeterminant };
};

const rowNorms = (columns: readonly Float64Array[]): Float64Array => {
  const norms = new Float64Array(columns[0]?.length ?? 0);
  for (const column of columns)
    for (let i = 0; i < norms.length; i++) norms[i] = Math.hypot(norms[i] as number, column[i] as number);
  return norms;
};

/** Ranks from 1, equal values share their mean rank. */
const midRanks = (values: Float64Array): Float64Array => {
  const order = Int32Array.from(values, (_, i) => i).sort(
    (i, j) => (values[i] as number) - (values[j] as number),
  );
  const ranks = new Float64Array(values.length);
  for (let from = 0; from < order.length; ) {
    let to = from;
    while (to + 1 < order.length && values[order[to + 1] as number] === values[order[from] as number]) to++;
    for (let k = from; k <= to; k++) ranks[order[k] as number] = 1 + (from + to) / 2;
    from = to + 1;
  }
  return ranks;
};

const correlation = (columns: readonly Float64Array[], rows: Int32Array): Float64Array[] => {
  const { covariance } = scatterOf(columns, rows);
  const sd = covariance.map((row, a) => Math.sqrt(row[a] as number) || 1);
  return covariance.map((row, a) => row.map((value, b) => value / ((sd[a] as number) * (sd[b] as number))));
};

const crossProducts = (columns: readonly Float64Array[]): Float64Array[] =>
  columns.map((x) =>
    Float64Array.from(columns, (y) => x.reduce((sum, value, i) => sum + value * (y[i] as number), 0)),
  );
