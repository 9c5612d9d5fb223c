/** Solves L z = b in place, L lower triangular by rows of b.length; a pivot of 0 (an aliased column) gives 0. */
export const lowerSolved = (lower: Float64Array, b: Float64Array): Float64Array => {
  const p = b.length;
  for (let i = 0; i < p; i++) {
    let rest = b[i] as number;
    for (let j = 0; j < i; j++) rest -= (lower[i * p + j] as number) * (b[j] as number);
    const pivot = lower[i * p + i] as number;
    b[i] = pivot > 0 ? rest / pivot : 0;
  }
  return b;
};

/** Solves L' z = b, L lower triangular by rows of b.length; a pivot of 0 (an aliased column) gives 0. */
export const upperSolved = (lower: Float64Array, b: Float64Array): Float64Array => {
  const p = b.length;
  const z = Float64Array.from(b);
  for (let i = p - 1; i >= 0; i--) {
    let rest = z[i] as number;
    for (let j = i + 1; j < p; j++) rest -= (lower[j * p + i] as number) * (z[j] as number);
    const pivot = lower[i * p + i] as number;
    z[i] = pivot > 0 ? rest / pivot : 0;
  }
  return z;
};

/** (L L')^-1 by rows, L p x p lower triangular; NaN in rows and columns whose pivot is 0. */
export const inverseFromFactor = (lower: Float64Array, p: number): Float64Array => {
  const columns = Array.from({ length: p }, (_, j) =>
    (lower[j * p + j] as number) > 0
      ? lowerSolved(
          lower,
          Float64Array.from({ length: p }, (_, i) => (i === j ? 1 : 0)),
        )
      : new Float64Array(p).fill(Number.NaN),
  );
  return Float64Array.from({ length: p * p }, (_, at) => {
    const [a, b] = [columns[Math.floor(at / p)] as Float64Array, columns[at % p] as Float64Array];
    return a.reduce((sum, value, i) => sum + value * (b[i] as number), 0);
  });
};
