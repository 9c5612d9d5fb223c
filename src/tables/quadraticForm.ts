/** Sum of products of two rows of the same length. */
export const dot = (a: readonly number[], b: readonly number[]): number => {
  if (a.length !== b.length) throw new Error(`dot: ${a.length} against ${b.length} entries`);
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
};

/** Covariance of a . beta and b . beta for coefficients with the given covariance (row-major, length n x n). */
export const quadraticForm = (
  a: readonly number[],
  covariance: readonly number[],
  b: readonly number[],
): number => {
  const n = a.length;
  if (covariance.length !== n * n || b.length !== n)
    throw new Error(`quadraticForm: ${n} and ${b.length} entries against ${covariance.length} covariances`);
  let sum = 0;
  for (let i = 0; i < n; i++)
    for (let j = 0; a[i] !== 0 && j < n; j++)
      sum += (a[i] as number) * (covariance[i * n + j] as number) * (b[j] as number);
  return sum;
};
