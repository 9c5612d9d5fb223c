/**
 * Least squares of y on 1, z, z^2 with z the centered and scaled x; falls back to the plain mean when x does not vary.
 * Returns the fitted mean and its standard error at any x. Normal equations by Cholesky of a 3 x 3 matrix.
 */
export const quadraticFit = (
  x: readonly number[],
  y: readonly number[],
): ((at: number) => { mean: number; se: number }) => {
  const n = x.length;
  const center = x.reduce((sum, value) => sum + value, 0) / n;
  const scale = Math.sqrt(x.reduce((sum, value) => sum + (value - center) ** 2, 0) / n);
  const size = scale > 0 ? 3 : 1;
  const row = (value: number): number[] =>
    size === 3 ? [1, (value - center) / scale, ((value - center) / scale) ** 2] : [1];
  const cross = Array.from({ length: size }, () => new Array<number>(size).fill(0));
  const right = new Array<number>(size).fill(0);
  x.forEach((value, i) => {
    const basis = row(value);
    for (let a = 0; a < size; a++) {
      right[a] = (right[a] as number) + (basis[a] as number) * (y[i] as number);
      for (let b = 0; b < size; b++)
        (cross[a] as number[])[b] =
          ((cross[a] as number[])[b] as number) + (basis[a] as number) * (basis[b] as number);
    }
  });
  const lower = cholesky(cross);
  const solveLower = (values: readonly number[]): number[] => {
    const solved: number[] = [];
    for (let i = 0; i < size; i++) {
      let rest = values[i] as number;
      for (let j = 0; j < i; j++) rest -= ((lower[i] as number[])[j] as number) * (solved[j] as number);
      solved.push(rest / ((lower[i] as number[])[i] as number));
    }
    return solved;
  };
  const turned = solveLower(right);
  const residual =
    y.reduce((sum, value) => sum + value * value, 0) - turned.reduce((sum, value) => sum + value * value, 0);
  const variance = n > size ? Math.max(0, residual) / (n - size) : 0;
  return (at) => {
    const basis = solveLower(row(at));
    return {
      mean: basis.reduce((sum, value, i) => sum + value * (turned[i] as number), 0),
      se: Math.sqrt(variance * basis.reduce((sum, value) => sum + value * value, 0)),
    };
  };
};

/** Lower triangle L of a positive definite matrix A = L L'; a pivot at or below 0 becomes tiny (the column is aliased). */
const cholesky = (matrix: readonly number[][]): number[][] => {
  const lower = matrix.map((row) => row.map(() => 0));
  for (let i = 0; i < matrix.length; i++) {
    for (let j = 0; j <= i; j++) {
      let rest = (matrix[i] as number[])[j] as number;
      for (let k = 0; k < j; k++)
        rest -= ((lower[i] as number[])[k] as number) * ((lower[j] as number[])[k] as number);
      (lower[i] as number[])[j] =
        i === j ? Math.sqrt(Math.max(rest, 1e-12)) : rest / ((lower[j] as number[])[j] as number);
    }
  }
  return lower;
};
