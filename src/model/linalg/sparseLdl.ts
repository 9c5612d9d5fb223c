/**
 * Sparse LDL' of a symmetric positive definite matrix whose pattern does not change between factorizations.
 * Analysis: greedy minimum degree on the elimination graph, fill kept as sorted columns of L (unit diagonal implied).
 * Source: T. Davis, Direct Methods for Sparse Linear Systems (SIAM 2006), ch. 4 and 7 (from memory).
 */
export type SparseAnalysis = {
  n: number;
  /** order[k] = original index eliminated k-th; place = its inverse. */
  order: Int32Array;
  place: Int32Array;
  /** Columns of L in elimination order: rows of column k are rows[start[k]..start[k+1]), as places > k, ascending. */
  start: Int32Array;
  rows: Int32Array;
};

/** Orders and finds the fill. neighbors[i]: the set of j != i with a nonzero (i, j); it is not changed. */
export const analyzeSparse = (neighbors: readonly ReadonlySet<number>[]): SparseAnalysis => {
  const n = neighbors.length;
  const graph = neighbors.map((set) => new Set(set));
  const order = new Int32Array(n);
  const place = new Int32Array(n).fill(-1);
  const columns: number[][] = [];
  const left = new Set<number>(graph.keys());
  for (let k = 0; k < n; k++) {
    const best = leastDegree(graph, left);
    left.delete(best);
    order[k] = best;
    place[best] = k;
    const own = [...(graph[best] as Set<number>)];
    columns.push(own);
    for (const i of own) {
      const set = graph[i] as Set<number>;
      set.delete(best);
      for (const j of own) if (j !== i) set.add(j);
    }
  }
  const start = new Int32Array(n + 1);
  for (let k = 0; k < n; k++) start[k + 1] = (start[k] as number) + (columns[k] as number[]).length;
  const rows = new Int32Array(start[n] as number);
  for (let k = 0; k < n; k++)
    rows.set(Int32Array.from(columns[k] as number[], (i) => place[i] as number).sort(), start[k] as number);
  return { n, order, place, start, rows };
};

const leastDegree = (graph: readonly ReadonlySet<number>[], left: ReadonlySet<number>): number => {
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  for (const i of left) {
    const degree = (graph[i] as ReadonlySet<number>).size;
    if (degree < least) [best, least] = [i, degree];
  }
  return best;
};

/** Numeric factor: values of L beside the analysis' rows, pivots d by place. */
export type SparseFactor = { values: Float64Array; pivots: Float64Array };

/** Arrays of n that factorSparse works in. */
export type SparseScratch = {
  work: Float64Array;
  nextColumn: Int32Array;
  firstColumn: Int32Array;
  cursor: Int32Array;
};

export const sparseScratch = (n: number): SparseScratch => ({
  work: new Float64Array(n),
  nextColumn: new Int32Array(n),
  firstColumn: new Int32Array(n),
  cursor: new Int32Array(n),
});

/**
 * Left-looking numeric LDL'. Enters with `factor.values` holding the lower triangle of A by columns of the analysis (in
 * places) and `factor.pivots` its diagonal; both are overwritten. Returns false when a pivot is not above 0.
 */
export const factorSparse = (
  analysis: SparseAnalysis,
  factor: SparseFactor,
  scratch: SparseScratch = sparseScratch(analysis.n),
): boolean => {
  const { n, start, rows } = analysis;
  const { values, pivots } = factor;
  const { work, nextColumn, firstColumn, cursor } = scratch;
  work.fill(0);
  firstColumn.fill(-1);
  const chains: Chains = { rows, cursor, firstColumn, nextColumn };
  for (let j = 0; j < n; j++) {
    const [from, to] = [start[j] as number, start[j + 1] as number];
    for (let at = from; at < to; at++) work[rows[at] as number] = values[at] as number;
    let pivot = pivots[j] as number;
    for (let k = firstColumn[j] as number; k >= 0; ) {
      const following = nextColumn[k] as number;
      const at = cursor[k] as number;
      const scaled = (values[at] as number) * (pivots[k] as number);
      pivot -= scaled * (values[at] as number);
      const end = start[k + 1] as number;
      for (let below = at + 1; below < end; below++)
        work[rows[below] as number] =
          (work[rows[below] as number] as number) - scaled * (values[below] as number);
      advance(k, at + 1, end, chains);
      k = following;
    }
    if (!(pivot > 0)) return false;
    pivots[j] = pivot;
    for (let at = from; at < to; at++) {
      values[at] = (work[rows[at] as number] as number) / pivot;
      work[rows[at] as number] = 0;
    }
    advance(j, from, to, chains);
  }
  return true;
};

type Chains = { rows: Int32Array; cursor: Int32Array; firstColumn: Int32Array; nextColumn: Int32Array };

/** Puts column k on the list of the column that needs it next (its row at `at`). */
const advance = (
  k: number,
  at: number,
  end: number,
  { rows, cursor, firstColumn, nextColumn }: Chains,
): void => {
  if (at >= end) return;
  cursor[k] = at;
  const target = rows[at] as number;
  nextColumn[k] = firstColumn[target] as number;
  firstColumn[target] = k;
};

/** Solves L z = b in place (b by place). */
export const solveLower = (analysis: SparseAnalysis, factor: SparseFactor, b: Float64Array): void => {
  for (let k = 0; k < analysis.n; k++) {
    const value = b[k] as number;
    if (value === 0) continue;
    for (let at = analysis.start[k] as number; at < (analysis.start[k + 1] as number); at++) {
      const row = analysis.rows[at] as number;
      b[row] = (b[row] as number) - value * (factor.values[at] as number);
    }
  }
};

/** Solves L' x = z in place (z by place). */
export const solveUpper = (analysis: SparseAnalysis, factor: SparseFactor, z: Float64Array): void => {
  for (let k = analysis.n - 1; k >= 0; k--) {
    let value = z[k] as number;
    for (let at = analysis.start[k] as number; at < (analysis.start[k + 1] as number); at++)
      value -= (factor.values[at] as number) * (z[analysis.rows[at] as number] as number);
    z[k] = value;
  }
};
