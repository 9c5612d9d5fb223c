/** Lower Cholesky factor of a symmetric k x k matrix (row-major); undefined when it is not positive definite. */
export const cholesky = (matrix: Float64Array, k: number): Float64Array | undefined => {
  const lower = new Float64Array(k * k);
  for (let i = 0; i < k; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * k + j] as number;
      for (let m = 0; m < j; m++) sum -= (lower[i * k + m] as number) * (lower[j * k + m] as number);
      if (i === j) {
        if (!(sum > 0)) return undefined;
        lower[i * k + i] = Math.sqrt(sum);
      } else lower[i * k + j] = sum / (lower[j * k + j] as number);
    }
  }
  return lower;
};

/** Log determinant of the matrix whose lower Cholesky factor is given. */
export const logDeterminant = (lower: Float64Array, k: number): number => {
  let sum = 0;
  for (let i = 0; i < k; i++) sum += 2 * Math.log(lower[i * k + i] as number);
  return sum;
};

/**
 * Squared Mahalanobis length b' A^-1 b of k values of b from `from` on, A given by its lower Cholesky factor. `scratch`
 * holds k numbers and is overwritten (hot loop).
 */
export const squaredLength = (
  lower: Float64Array,
  b: Float64Array,
  { k, from, scratch }: { k: number; from: number; scratch: Float64Array },
): number => {
  let total = 0;
  for (let i = 0; i < k; i++) {
    let sum = b[from + i] as number;
    for (let j = 0; j < i; j++) sum -= (lower[i * k + j] as number) * (scratch[j] as number);
    const value = sum / (lower[i * k + i] as number);
    scratch[i] = value;
    total += value * value;
  }
  return total;
};

/** Inverse of the matrix whose lower Cholesky factor is given (k x k, row-major): for marginals of single values. */
export const inverseOf = (lower: Float64Array, k: number): Float64Array => {
  const inverse = new Float64Array(k * k);
  const column = new Float64Array(k);
  for (let c = 0; c < k; c++) {
    for (let i = 0; i < k; i++) {
      let sum = i === c ? 1 : 0;
      for (let j = 0; j < i; j++) sum -= (lower[i * k + j] as number) * (column[j] as number);
      column[i] = sum / (lower[i * k + i] as number);
    }
    for (let i = k - 1; i >= 0; i--) {
      let sum = column[i] as number;
      for (let j = i + 1; j < k; j++) sum -= (lower[j * k + i] as number) * (inverse[j * k + c] as number);
      inverse[i * k + c] = sum / (lower[i * k + i] as number);
    }
  }
  return inverse;
};
