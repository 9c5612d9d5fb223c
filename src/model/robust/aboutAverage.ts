import { symmetricEigen } from '../linalg/symmetricEigen.ts';

/**
 * Levels as they differ from their unweighted average: posterior means and covariance, the prior variance, and the inverse
 * of prior and error together, from which whatever else errs with the estimates is brought up to date. Rows and columns add
 * to 0.
 */
export type AboutAverage = {
  mean: Float64Array;
  covariance: Float64Array[];
  between: number;
  precision: Float64Array[];
};

const steps = 60;
const rounds = 3;

/**
 * Shrinks estimates with known error covariance toward their own average, whose level does not matter. The prior variance
 * A has the mode of sqrt(A) x restricted likelihood (Chung, Rabe-Hesketh, Dorie, Gelman & Liu 2013 Psychometrika 78:685):
 * of few levels the likelihood alone is often highest at 0, which would say for sure that all are alike.
 */
export const aboutAverage = (estimate: Float64Array, covariance: readonly Float64Array[]): AboutAverage => {
  const n = estimate.length;
  const { values, vectors } = contrasts(covariance);
  const along = vectors.map((vector) => dotOf(vector, estimate));
  const between = priorVariance(along, values);
  const kept = values.map((noise) => (between > 0 ? between / (between + noise) : 0));
  const total = values.map((noise) => (between + noise > 0 ? 1 / (between + noise) : 0));
  const matrix = (weights: readonly number[]): Float64Array[] =>
    Array.from({ length: n }, (_, i) =>
      Float64Array.from({ length: n }, (_, j) =>
        vectors.reduce(
          (sum, vector, k) => sum + (weights[k] as number) * (vector[i] as number) * (vector[j] as number),
          0,
        ),
      ),
    );
  return {
    mean: estimate.map((_, i) =>
      vectors.reduce(
        (sum, vector, k) => sum + (kept[k] as number) * (along[k] as number) * (vector[i] as number),
        0,
      ),
    ),
    covariance: matrix(kept.map((share) => (1 - share) * between)),
    between,
    precision: matrix(total),
  };
};

const dotOf = (a: Float64Array, b: Float64Array): number =>
  a.reduce((sum, value, i) => sum + value * (b[i] as number), 0);

/** Variances and directions of the differences between levels: all that is orthogonal to their sum. */
const contrasts = (covariance: readonly Float64Array[]): { values: number[]; vectors: Float64Array[] } => {
  const n = covariance.length;
  const means = covariance.map((row) => row.reduce((sum, value) => sum + value, 0) / n);
  const mean = means.reduce((sum, value) => sum + value, 0) / n;
  const centered = covariance.map((row, i) =>
    row.map((value, j) => value - (means[i] as number) - (means[j] as number) + mean),
  );
  // a large variance of the sum makes it the first vector
  const apart = 2 * centered.reduce((sum, row, i) => sum + (row[i] as number), 0) || 1;
  const { values, vectors } = symmetricEigen(centered.map((row) => row.map((value) => value + apart)));
  return { values: [...values.slice(1)].map((value) => Math.max(0, value)), vectors: vectors.slice(1) };
};

/** Best A on a grid in log A, narrowed around its best point; bounded, as of two levels no A is too large. */
const priorVariance = (along: readonly number[], noise: readonly number[]): number => {
  const most = along.reduce((sum, value, k) => sum + value * value + (noise[k] as number), 0);
  const seen = noise.filter((value) => value > 0);
  if (!(most > 0)) return 0;
  const height = (logA: number): number => {
    const a = Math.exp(logA);
    return along.reduce((sum, value, k) => {
      const total = a + (noise[k] as number);
      return sum - Math.log(total) - (value * value) / total;
    }, logA);
  };
  const least = seen.length > 0 ? Math.min(...seen) / (100 * along.length) : 1e-9 * most;
  let [low, high] = [Math.log(least), Math.log(most)];
  let best = high;
  for (let round = 0; round < rounds; round++) {
    const step = (high - low) / steps;
    for (let k = 0; k <= steps; k++) if (height(low + k * step) > height(best)) best = low + k * step;
    [low, high] = [Math.max(Math.log(least), best - step), Math.min(Math.log(most), best + step)];
  }
  return Math.exp(best);
};
