/** Center (p) and scatter matrix (p rows of p) of points given as p columns of n. */
export type Scatter = { center: Float64Array; covariance: Float64Array[] };

/** Mean and covariance (divisor: their number - 1) of some rows of the columns. */
export const scatterOf = (columns: readonly Float64Array[], rows: ArrayLike<number>): Scatter => {
  const count = rows.length;
  const center = Float64Array.from(columns, (column) => {
    let sum = 0;
    for (let k = 0; k < count; k++) sum += column[rows[k] as number] as number;
    return sum / count;
  });
  const covariance = columns.map(() => new Float64Array(columns.length));
  const gap = new Float64Array(columns.length);
  for (let k = 0; k < count; k++) {
    for (const [a, column] of columns.entries())
      gap[a] = (column[rows[k] as number] as number) - (center[a] as number);
    for (const [a, own] of covariance.entries())
      for (let b = 0; b <= a; b++) own[b] = (own[b] as number) + (gap[a] as number) * (gap[b] as number);
  }
  for (const [a, own] of covariance.entries())
    for (let b = 0; b <= a; b++) {
      own[b] = (own[b] as number) / (count - 1);
      (covariance[b] as Float64Array)[a] = own[b] as number;
    }
  return { center, covariance };
};

/** The same scatter with its covariance times a factor. */
export const scaledScatter = ({ center, covariance }: Scatter, factor: number): Scatter => ({
  center,
  covariance: covariance.map((row) => row.map((value) => factor * value)),
});

/**
 * All rows with the center taken off and divided by the Cholesky factor of `times` x covariance, as p columns: their squared
 * lengths are squared Mahalanobis distances. undefined when the scatter has no inverse: a pivot below 1e-12 of its variance.
 */
export const whitened = (
  columns: readonly Float64Array[],
  { center, covariance }: Scatter,
  times = 1,
): Float64Array[] | undefined => {
  const factor = cholesky(covariance);
  if (factor === undefined) return undefined;
  const root = Math.sqrt(times);
  const points: Float64Array[] = [];
  for (const [a, column] of columns.entries()) {
    const row = factor[a] as Float64Array;
    const own = column.map((value) => (value - (center[a] as number)) / root);
    for (const [b, before] of points.entries()) {
      const share = row[b] as number;
      for (let i = 0; i < own.length; i++) own[i] = (own[i] as number) - share * (before[i] as number);
    }
    const pivot = row[a] as number;
    points.push(own.map((value) => value / pivot));
  }
  return points;
};

/** Squared Mahalanobis distances of all rows, and the log determinant of the scatter; NaN and -Infinity when it has no inverse. */
export const squaredDistances = (
  columns: readonly Float64Array[],
  scatter: Scatter,
): { squared: Float64Array; logDeterminant: number } => {
  const squared = new Float64Array(columns[0]?.length ?? 0);
  const points = whitened(columns, scatter);
  const factor = cholesky(scatter.covariance);
  if (points === undefined || factor === undefined)
    return { squared: squared.fill(Number.NaN), logDeterminant: Number.NEGATIVE_INFINITY };
  for (const column of points)
    for (let i = 0; i < squared.length; i++) squared[i] = (squared[i] as number) + (column[i] as number) ** 2;
  return {
    squared,
    logDeterminant: factor.reduce((sum, row, a) => sum + 2 * Math.log(row[a] as number), 0),
  };
};

/** Lower factor L of L L' = matrix, undefined where a pivot vanishes. */
const cholesky = (matrix: readonly Float64Array[]): Float64Array[] | undefined => {
  const lower = matrix.map((row) => new Float64Array(row.length));
  for (const [a, row] of matrix.entries()) {
    const own = lower[a] as Float64Array;
    for (let b = 0; b <= a; b++) {
      const other = lower[b] as Float64Array;
      let rest = row[b] as number;
      for (let k = 0; k < b; k++) rest -= (own[k] as number) * (other[k] as number);
      if (a !== b) own[b] = rest / (other[b] as number);
      else if (rest > 1e-12 * (row[a] as number)) own[a] = Math.sqrt(rest);
      else return undefined;
    }
  }
  return lower;
};

/** Places of the `count` smallest values; equal values in order of place. */
export const smallestPlaces = (values: Float64Array, count: number): Int32Array => {
  const order = Int32Array.from(values, (_, i) => i);
  order.sort((i, j) => (values[i] as number) - (values[j] as number) || i - j);
  return order.slice(0, count);
};
