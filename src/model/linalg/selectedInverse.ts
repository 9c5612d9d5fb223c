import type { SparseAnalysis, SparseFactor } from './sparseLdl.ts';

/** Entries of the inverse on the pattern of L: `values` beside the analysis' rows, `diagonal` by place. */
export type SelectedInverse = { values: Float64Array; diagonal: Float64Array };

/** Inverse of L D L' on the pattern of L only (Takahashi, Fagan & Chin 1973), last column first. */
export const selectedInverse = (analysis: SparseAnalysis, factor: SparseFactor): SelectedInverse => {
  const { n, start, rows } = analysis;
  const values = new Float64Array(rows.length);
  const diagonal = new Float64Array(n);
  const work = new Float64Array(n);
  const sums = new Float64Array(n);
  for (let j = n - 1; j >= 0; j--) {
    const [from, to] = [start[j] as number, start[j + 1] as number];
    for (let a = from; a < to; a++) sums[rows[a] as number] = 0;
    for (let a = from; a < to; a++) {
      const i = rows[a] as number;
      for (let at = start[i] as number; at < (start[i + 1] as number); at++)
        work[rows[at] as number] = values[at] as number;
      const left = factor.values[a] as number;
      let own = left * (diagonal[i] as number);
      for (let b = a + 1; b < to; b++) {
        const entry = work[rows[b] as number] as number;
        own += (factor.values[b] as number) * entry;
        sums[rows[b] as number] = (sums[rows[b] as number] as number) + left * entry;
      }
      sums[i] = (sums[i] as number) + own;
    }
    let rest = 1 / (factor.pivots[j] as number);
    for (let a = from; a < to; a++) {
      values[a] = -(sums[rows[a] as number] as number);
      rest -= (factor.values[a] as number) * (values[a] as number);
    }
    diagonal[j] = rest;
  }
  return { values, diagonal };
};
