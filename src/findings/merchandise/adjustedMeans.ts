import { leastSquares } from '../../tables/leastSquares.ts';

/** Tests in groups (code 0 to count - 1) with what is taken out before the groups are compared; one entry a test. */
export type AdjustedDesign = {
  group: readonly number[];
  count: number;
  /** Columns held equal between groups. */
  covariates: readonly (readonly number[])[];
  /** Compare within these only (codes); undefined = over all. */
  within: readonly number[] | undefined;
  clusters: readonly number[];
};

/** Means of y by group at the same covariates and their covariance (row-major, count x count). */
export type AdjustedMeans = { means: number[]; covariance: number[] };

/**
 * Adjusted means: the grand mean plus each group's distance from it by least squares, covariates (and, where asked, the
 * people) held equal; errors shared within clusters. With `within`, distances come only from those who are in more than
 * one group. At least one test a group.
 */
export const adjustedMeans = (design: AdjustedDesign, y: readonly number[]): AdjustedMeans => {
  const { group, count } = design;
  const n = y.length;
  const columns = [
    ...Array.from({ length: count - 1 }, (_, k) => group.map((code) => (code === k + 1 ? 1 : 0))),
    ...design.covariates,
  ];
  const base = design.within ?? group.map(() => 0);
  const centered = columns.map((column) => withoutMeans(column, base));
  const target = withoutMeans(y, base);
  const rows = group.map((_, i) => centered.map((column) => column[i] as number));
  const fit = leastSquares(rows, target, design.clusters);
  const share = Array.from({ length: count }, (_, k) => group.filter((code) => code === k).length / n);
  const grand = leastSquares(
    y.map(() => [1]),
    y,
    design.clusters,
  );
  const distance = (k: number): number[] =>
    columns.map((_, j) => (j < count - 1 ? Number(j + 1 === k) - (share[j + 1] as number) : 0));
  const distances = Array.from({ length: count }, (_, k) => distance(k));
  const p = columns.length;
  const spread = (a: readonly number[], b: readonly number[]): number => {
    let sum = 0;
    for (let i = 0; i < p; i++)
      for (let j = 0; j < p; j++)
        sum += (a[i] as number) * (fit.covariance[i * p + j] as number) * (b[j] as number);
    return sum;
  };
  const mean = grand.coefficients[0] as number;
  return {
    means: distances.map(
      (row) => mean + row.reduce((sum, value, j) => sum + value * (fit.coefficients[j] as number), 0),
    ),
    covariance: distances.flatMap((a) =>
      distances.map((b) => (grand.covariance[0] as number) + spread(a, b)),
    ),
  };
};

/** Variance of the difference of two adjusted means; what they share in the grand mean falls out. */
export const gapVariance = ({ means, covariance }: AdjustedMeans, a: number, b: number): number => {
  const k = means.length;
  const at = (i: number, j: number): number => covariance[i * k + j] as number;
  return Math.max(0, at(a, a) + at(b, b) - 2 * at(a, b));
};

const withoutMeans = (values: readonly number[], codes: readonly number[]): number[] => {
  const sums = new Map<number, { sum: number; n: number }>();
  for (const [i, code] of codes.entries()) {
    const own = sums.get(code) ?? { sum: 0, n: 0 };
    sums.set(code, { sum: own.sum + (values[i] as number), n: own.n + 1 });
  }
  return values.map((value, i) => {
    const own = sums.get(codes[i] as number) as { sum: number; n: number };
    return value - own.sum / own.n;
  });
};
