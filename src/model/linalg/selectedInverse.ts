import type { SparseAnalysis, SparseEntries } from './sparseLdl.ts';

/** Inverse of L D L' on the pattern of L only (Takahashi, Fagan & Chin 1973), last column first; `factor` is not changed. */
export const selectedInverse = (analysis: SparseAnalysis, factor: SparseEntries): SparseEntries => {
  const { n, start, rows, fullFrom } = analysis;
  const size = rows.length;
  const inverse = new Float64Array(size + n);
  const work = new Float64Array(n);
  const sums = new Float64Array(n);
  for (let j = n - 1; j >= 0; j--) {
    const [first, to] = [start[j] as number, start[j + 1] as number];
    for (let a = first; a < to; a++) sums[rows[a] as number] = 0;
    for (let a = first; a < to; a++) {
      const i = rows[a] as number;
      const isFull = i >= fullFrom;
      const from = isFull ? inverse : work;
      const base = isFull ? (start[i] as number) - i - 1 : 0;
      if (!isFull)
        for (let at = start[i] as number; at < (start[i + 1] as number); at++)
          work[rows[at] as number] = inverse[at] as number;
      const left = factor[a] as number;
      let own = left * (inverse[size + i] as number);
      for (let b = a + 1; b < to; b++) {
        const row = rows[b] as number;
        const entry = from[base + row] as number;
        own += (factor[b] as number) * entry;
        sums[row] = (sums[row] as number) + left * entry;
      }
      sums[i] = (sums[i] as number) + own;
    }
    let rest = 1 / (factor[size + j] as number);
    for (let a = first; a < to; a++) {
      inverse[a] = -(sums[rows[a] as number] as number);
      rest -= (factor[a] as number) * (inverse[a] as number);
    }
    inverse[size + j] = rest;
  }
  return inverse;
};
