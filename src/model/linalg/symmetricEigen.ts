/** Eigenvalues of a symmetric matrix, largest first, and their vectors: vectors[k] belongs to values[k], length 1. */
export type SymmetricEigen = { values: Float64Array; vectors: Float64Array[] };

const mostSweeps = 60;

/** Cyclic Jacobi method (Golub & Van Loan 2013, 8.5), for small matrices. rows: p arrays of p. The largest entry of each vector is positive. */
export const symmetricEigen = (rows: readonly Float64Array[]): SymmetricEigen => {
  const p = rows.length;
  const a = rows.map((row) => Float64Array.from(row));
  const turned = rows.map((_, i) => Float64Array.from(rows, (__, j) => (i === j ? 1 : 0)));
  const at = (i: number, j: number): number => a[i]?.[j] as number;
  for (let sweep = 0; sweep < mostSweeps; sweep++) {
    let outside = 0;
    let inside = 0;
    for (let i = 0; i < p; i++)
      for (let j = 0; j < p; j++)
        if (i === j) inside += at(i, j) ** 2;
        else outside += at(i, j) ** 2;
    if (!(outside > 1e-32 * inside)) break;
    for (let i = 0; i < p; i++) for (let j = i + 1; j < p; j++) rotate(a, turned, [i, j]);
  }
  const order = [...Array(p).keys()].sort((i, j) => at(j, j) - at(i, i));
  return {
    values: Float64Array.from(order, (i) => at(i, i)),
    vectors: order.map((i) => signed(turned.map((row) => row[i] as number))),
  };
};

/** Turns rows and columns i and j so that their common entry is 0; changes both matrices. */
const rotate = (
  a: readonly Float64Array[],
  turned: readonly Float64Array[],
  [i, j]: readonly [number, number],
): void => {
  const off = a[i]?.[j] as number;
  if (off === 0) return;
  const theta = ((a[j]?.[j] as number) - (a[i]?.[i] as number)) / (2 * off);
  const t = (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.hypot(theta, 1));
  const cosine = 1 / Math.hypot(t, 1);
  const sine = t * cosine;
  const mix = (one: number, other: number): [number, number] => [
    cosine * one - sine * other,
    sine * one + cosine * other,
  ];
  for (const row of [...a, ...turned]) [row[i], row[j]] = mix(row[i] as number, row[j] as number);
  const [upper, lower] = [a[i] as Float64Array, a[j] as Float64Array];
  for (let k = 0; k < a.length; k++) [upper[k], lower[k]] = mix(upper[k] as number, lower[k] as number);
};

const signed = (vector: readonly number[]): Float64Array => {
  const largest = vector.reduce(
    (best, value) => (Math.abs(value) > Math.abs(best) + 1e-12 ? value : best),
    0,
  );
  return Float64Array.from(vector, (value) => (largest < 0 ? -value : value));
};
