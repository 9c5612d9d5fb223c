import { quantileSorted } from 'simple-statistics';

const fewestEach = 12;

/**
 * Relative precision of the mean of several pieces, 1 for one piece: variance = a^2 + b^2 / pieces, a and b from median
 * absolute deviations by number of pieces about the group's rough fit (deviations from the median of tests alike in
 * `columns` are not needed: what the fixed part explains is the same for all sizes). 1 everywhere when sizes are all alike.
 */
export const pieceWeights = (
  y: Float64Array,
  pieces: Float64Array,
  columns: readonly Float64Array[],
): Float64Array => {
  const sizes = [...new Set(pieces)].filter((size) => size > 0).sort((a, b) => a - b);
  if (sizes.length < 2) return new Float64Array(y.length).fill(1);
  const residual = leastSquaresResidual(y, columns);
  const seen = sizes.flatMap((size) => {
    const own = [...residual]
      .filter((_, i) => pieces[i] === size)
      .map(Math.abs)
      .sort((a, b) => a - b);
    if (own.length < fewestEach) return [];
    return [{ inverse: 1 / size, variance: (1.4826 * quantileSorted(own, 0.5)) ** 2, n: own.length }];
  });
  const { constant, slope } = line(seen);
  const variance = (size: number): number => constant + slope / size;
  const one = variance(1);
  return pieces.map((size) => (size > 0 && one > 0 ? one / Math.max(variance(size), 1e-3 * one) : 1));
};

type Seen = { inverse: number; variance: number; n: number };

/** variance = constant + slope x inverse, neither below 0, by weighted least squares (an MAD^2 has variance ~ itself^2 / n). */
const line = (seen: readonly Seen[]): { constant: number; slope: number } => {
  if (seen.length < 2) return { constant: 1, slope: 0 };
  const sum = (value: (own: Seen) => number): number =>
    seen.reduce((total, own) => total + (own.n / own.variance ** 2) * value(own), 0);
  const [w, x, y] = [sum(() => 1), sum((own) => own.inverse), sum((own) => own.variance)];
  const [xx, xy] = [sum((own) => own.inverse ** 2), sum((own) => own.inverse * own.variance)];
  const slope = (w * xy - x * y) / (w * xx - x * x);
  const constant = (y - slope * x) / w;
  if (slope < 0) return { constant: y / w, slope: 0 };
  if (constant < 0) return { constant: 0, slope: xy / xx };
  return { constant, slope };
};

/** Residual of y on the columns by Gram-Schmidt; columns that others hold add nothing. */
const leastSquaresResidual = (y: Float64Array, columns: readonly Float64Array[]): Float64Array => {
  const dot = (a: Float64Array, b: Float64Array): number =>
    a.reduce((sum, value, i) => sum + value * (b[i] as number), 0);
  const takeOff = (from: Float64Array, basis: Float64Array): void => {
    const share = dot(from, basis);
    for (let i = 0; i < from.length; i++) from[i] = (from[i] as number) - share * (basis[i] as number);
  };
  const residual = Float64Array.from(y);
  const bases: Float64Array[] = [];
  for (const column of columns) {
    const own = Float64Array.from(column);
    const size = Math.sqrt(dot(own, own));
    for (const basis of bases) takeOff(own, basis);
    const left = Math.sqrt(dot(own, own));
    if (!(left > 1e-7 * size)) continue;
    for (let i = 0; i < own.length; i++) own[i] = (own[i] as number) / left;
    bases.push(own);
    takeOff(residual, own);
  }
  return residual;
};
