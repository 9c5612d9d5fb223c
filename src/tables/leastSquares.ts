/** Coefficients and their covariance (row-major, p x p); `dropped` marks columns that the others already say (coefficient 0). */
export type LeastSquares = {
  coefficients: number[];
  covariance: number[];
  dropped: boolean[];
  residuals: number[];
};

/**
 * Least squares of y on rows with a covariance that allows tests of one cluster to share what is not explained: sandwich
 * with the factor G/(G-1) x (n-1)/(n-p) (Liang & Zeger 1986 Biometrika 73:13; Cameron & Miller 2015 J. Hum. Resour.
 * 50:317). rows: n of p numbers; y: n; clusters: n codes. One cluster only: each row is its own. Throws on sizes.
 */
export const leastSquares = (
  rows: readonly (readonly number[])[],
  y: readonly number[],
  clusters: readonly number[],
): LeastSquares => {
  const n = rows.length;
  const p = rows[0]?.length ?? 0;
  if (y.length !== n || clusters.length !== n)
    throw new Error(`leastSquares: ${n} rows, ${y.length} values, ${clusters.length} clusters`);
  const { inverse, dropped } = invertedCross(rows, p);
  const right = new Array<number>(p).fill(0);
  for (const [i, row] of rows.entries())
    for (let a = 0; a < p; a++) right[a] = (right[a] as number) + (row[a] as number) * (y[i] as number);
  const coefficients = times(inverse, right);
  const residuals = rows.map(
    (row, i) =>
      (y[i] as number) - row.reduce((sum, value, a) => sum + value * (coefficients[a] as number), 0),
  );
  const groups = new Set(clusters).size > 1 ? clusters : rows.map((_, i) => i);
  const used = dropped.filter((gone) => !gone).length;
  return {
    coefficients,
    covariance: sandwich(rows, residuals, { groups, inverse, used }),
    dropped,
    residuals,
  };
};

const times = (matrix: readonly (readonly number[])[], vector: readonly number[]): number[] =>
  matrix.map((row) => row.reduce((sum, value, k) => sum + value * (vector[k] as number), 0));

/** Inverse of X'X by sweeping, columns that are already explained left out with zeros. */
const invertedCross = (
  rows: readonly (readonly number[])[],
  p: number,
): { inverse: number[][]; dropped: boolean[] } => {
  const cross = Array.from({ length: p }, (_, a) =>
    Array.from({ length: p }, (_, b) =>
      rows.reduce((sum, row) => sum + (row[a] as number) * (row[b] as number), 0),
    ),
  );
  const first = cross.map((row, a) => row[a] as number);
  const dropped = new Array<boolean>(p).fill(false);
  for (let k = 0; k < p; k++) {
    const own = cross[k] as number[];
    const pivot = own[k] as number;
    if (!(pivot > 1e-9 * (first[k] as number))) {
      dropped[k] = true;
      continue;
    }
    sweep(cross, k, pivot);
  }
  const inverse = cross.map((row, a) =>
    row.map((value, b) => (dropped[a] === true || dropped[b] === true ? 0 : -value)),
  );
  return { inverse, dropped };
};

const sweep = (matrix: number[][], k: number, pivot: number): void => {
  const p = matrix.length;
  const row = [...(matrix[k] as number[])];
  for (let a = 0; a < p; a++) {
    if (a === k) continue;
    const own = matrix[a] as number[];
    const factor = (own[k] as number) / pivot;
    for (let b = 0; b < p; b++) if (b !== k) own[b] = (own[b] as number) - factor * (row[b] as number);
    own[k] = factor;
  }
  for (let b = 0; b < p; b++) (matrix[k] as number[])[b] = b === k ? -1 / pivot : (row[b] as number) / pivot;
};

const sandwich = (
  rows: readonly (readonly number[])[],
  residuals: readonly number[],
  { groups, inverse, used }: { groups: readonly number[]; inverse: number[][]; used: number },
): number[] => {
  const p = inverse.length;
  const scores = new Map<number, number[]>();
  for (const [i, row] of rows.entries()) {
    const own = scores.get(groups[i] as number) ?? new Array<number>(p).fill(0);
    for (let a = 0; a < p; a++) own[a] = (own[a] as number) + (row[a] as number) * (residuals[i] as number);
    scores.set(groups[i] as number, own);
  }
  const clusters = scores.size;
  const factor =
    clusters > 1 && rows.length > used
      ? (clusters / (clusters - 1)) * ((rows.length - 1) / (rows.length - used))
      : Number.NaN;
  const covariance = new Array<number>(p * p).fill(0);
  for (const score of scores.values()) {
    const influence = times(inverse, score);
    for (let a = 0; a < p; a++)
      for (let b = 0; b < p; b++)
        covariance[a * p + b] =
          (covariance[a * p + b] as number) + factor * (influence[a] as number) * (influence[b] as number);
  }
  return covariance;
};
