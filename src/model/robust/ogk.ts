import { chiSquaredQuantile } from '../../tables/gammaDistribution.ts';
import { quantile } from '../../tables/quantile.ts';
import { symmetricEigen } from '../linalg/symmetricEigen.ts';
import { type Scatter, scatterOf } from './scatter.ts';

export type ScaleOf = (values: Float64Array) => number;

/** Raw and reweighted estimate, and which rows the latter kept (hard rejection at the 90 % point of chi-squared). */
export type Ogk = { raw: Scatter; reweighted: Scatter; kept: boolean[] };

/** Covariance of two columns from robust scales of their sum and difference (Gnanadesikan & Kettenring 1972 Biometrics 28:81). */
const pairCovariance = (x: Float64Array, y: Float64Array, scaleOf: ScaleOf): number => {
  const sum = scaleOf(x.map((value, i) => value + (y[i] as number)));
  const difference = scaleOf(x.map((value, i) => value - (y[i] as number)));
  return (sum * sum - difference * difference) / 4;
};

/** Matrix of robust pairwise covariances of columns that have scale 1. */
export const pairwiseCovariances = (columns: readonly Float64Array[], scaleOf: ScaleOf): Float64Array[] => {
  const matrix = columns.map((_, a) => Float64Array.from(columns, (__, b) => (a === b ? 1 : 0)));
  for (const [a, x] of columns.entries())
    for (let b = 0; b < a; b++) {
      const own = pairCovariance(x, columns[b] as Float64Array, scaleOf);
      (matrix[a] as Float64Array)[b] = own;
      (matrix[b] as Float64Array)[a] = own;
    }
  return matrix;
};

/** Columns turned into the basis of the given vectors. */
export const projected = (
  columns: readonly Float64Array[],
  vectors: readonly Float64Array[],
): Float64Array[] =>
  vectors.map((vector) => {
    const turned = new Float64Array(columns[0]?.length ?? 0);
    for (const [a, column] of columns.entries()) {
      const share = vector[a] as number;
      for (let i = 0; i < turned.length; i++)
        turned[i] = (turned[i] as number) + share * (column[i] as number);
    }
    return turned;
  });

/**
 * Orthogonalized Gnanadesikan-Kettenring estimate of center and scatter with two turns (Maronna & Zamar 2002 Technometrics
 * 44:307), always positive definite as long as each turned column has a scale; medians as centers. columns: p >= 1 of n.
 * `pairScaleOf`: scale for sums and differences of columns, when it is another one. A column without scale gives scatter 0 in its direction.
 */
export const ogk = (
  columns: readonly Float64Array[],
  scaleOf: ScaleOf,
  pairScaleOf: ScaleOf = scaleOf,
): Ogk => {
  let turned = [...columns];
  const backward: { scales: number[]; vectors: Float64Array[] }[] = [];
  for (let turn = 0; turn < 2; turn++) {
    const scales = turned.map(scaleOf);
    const standard = turned.map((column, a) => column.map((value) => divided(value, scales[a] as number)));
    const { vectors } = symmetricEigen(pairwiseCovariances(standard, pairScaleOf));
    backward.unshift({ scales, vectors });
    turned = projected(standard, vectors);
  }
  const centers = turned.map((column) => quantile(column, 0.5));
  const scales = turned.map(scaleOf);
  const squared = new Float64Array(columns[0]?.length ?? 0);
  for (const [a, column] of turned.entries())
    for (let i = 0; i < squared.length; i++)
      squared[i] =
        (squared[i] as number) +
        divided((column[i] as number) - (centers[a] as number), scales[a] as number) ** 2;
  const p = columns.length;
  const cutoff = (quantile(squared, 0.5) * chiSquaredQuantile(0.9, p)) / chiSquaredQuantile(0.5, p);
  const kept = Array.from(squared, (own) => own <= cutoff);
  const rows = Int32Array.from([...kept.keys()].filter((i) => kept[i]));
  const mean = scatterOf(columns, rows);
  const share = (rows.length - 1) / rows.length;
  return {
    raw: turnedBack(centers, scales, backward),
    reweighted: {
      center: mean.center,
      covariance: mean.covariance.map((row) => row.map((value) => share * value)),
    },
    kept,
  };
};

const divided = (value: number, scale: number): number => (scale > 0 ? value / scale : 0);

/** Center and diagonal scatter of the turned columns in the first basis again. */
const turnedBack = (
  centers: readonly number[],
  scales: readonly number[],
  backward: readonly { scales: number[]; vectors: Float64Array[] }[],
): Scatter => {
  let center: Float64Array = Float64Array.from(centers);
  let axes: Float64Array[] = scales.map((scale, k) =>
    Float64Array.from(scales, (_, j) => (j === k ? scale : 0)),
  );
  for (const step of backward) {
    const back = (vector: Float64Array): Float64Array =>
      Float64Array.from(
        step.scales,
        (scale, a) =>
          scale * step.vectors.reduce((sum, own, k) => sum + (own[a] as number) * (vector[k] as number), 0),
      );
    center = back(center);
    axes = axes.map(back);
  }
  const covariance = centers.map((_, a) =>
    Float64Array.from(centers, (__, b) =>
      axes.reduce((sum, axis) => sum + (axis[a] as number) * (axis[b] as number), 0),
    ),
  );
  return { center, covariance };
};
