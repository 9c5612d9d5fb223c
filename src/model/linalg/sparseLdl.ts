/**
 * Sparse LDL' of a symmetric positive definite matrix whose pattern does not change between factorizations.
 * Analysis: least degree on the elimination graph, dense indices last; fill by merging children in the elimination tree.
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
  /** Columns from here on are full: row r of column k stands at start[k] + r - k - 1. */
  fullFrom: number;
};

/** Sets of indices in which each is coupled with each: members[start[k]..start[k+1]). */
export type Cliques = { start: Int32Array; members: Int32Array };

/** Orders n indices and finds the fill of a matrix that is nonzero within the cliques and on the diagonal. */
export const analyzeSparse = (n: number, cliques: Cliques): SparseAnalysis => {
  const order = eliminationOrder(n, cliques);
  const place = new Int32Array(n);
  for (let k = 0; k < n; k++) place[order[k] as number] = k;
  const columns = filledColumns(n, cliques, place);
  return { n, order, place, ...columns, fullFrom: fullFrom(n, columns.start) };
};

const fullFrom = (n: number, start: Int32Array): number => {
  let first = n;
  while (first > 0 && (start[first] as number) - (start[first - 1] as number) === n - first) first -= 1;
  return first;
};

/** Indices in more cliques than this many square roots of n are dense: ordered last, not followed one by one. */
const denseFactor = 10;

const eliminationOrder = (n: number, { start, members }: Cliques): Int32Array => {
  const count = new Int32Array(n);
  for (const i of members) count[i] = (count[i] as number) + 1;
  const most = Math.max(16, denseFactor * Math.sqrt(n));
  const isDense = (i: number): boolean => (count[i] as number) > most;
  const graph = Array.from({ length: n }, () => new Set<number>());
  const own: number[] = [];
  for (let k = 0; k + 1 < start.length; k++) {
    own.length = 0;
    for (let at = start[k] as number; at < (start[k + 1] as number); at++)
      if (!isDense(members[at] as number)) own.push(members[at] as number);
    if (own.length > 1)
      for (const i of own) for (const j of own) if (i !== j) (graph[i] as Set<number>).add(j);
  }
  const sparse = [...graph.keys()].filter((i) => !isDense(i));
  const dense = [...graph.keys()].filter(isDense).sort((a, b) => (count[a] as number) - (count[b] as number));
  return Int32Array.from([...leastDegreeFirst(graph, sparse), ...dense]);
};

/** Greedy minimum degree over `indices`; `graph` is used up. */
const leastDegreeFirst = (graph: readonly Set<number>[], indices: readonly number[]): number[] => {
  const order: number[] = [];
  const byDegree: number[][] = [];
  const file = (i: number): void => {
    const degree = (graph[i] as Set<number>).size;
    while (byDegree.length <= degree) byDegree.push([]);
    (byDegree[degree] as number[]).push(i);
  };
  const isLeft = new Set(indices);
  for (const i of [...indices].reverse()) file(i);
  for (let degree = 0; isLeft.size > 0; ) {
    const best = byDegree[degree]?.pop();
    if (best === undefined) degree += 1;
    if (best === undefined || !isLeft.has(best) || (graph[best] as Set<number>).size !== degree) continue;
    isLeft.delete(best);
    order.push(best);
    const own = [...(graph[best] as Set<number>)];
    for (const i of own) {
      const set = graph[i] as Set<number>;
      set.delete(best);
      for (const j of own) if (j !== i) set.add(j);
      file(i);
      degree = Math.min(degree, set.size);
    }
  }
  return order;
};

const filledColumns = (
  n: number,
  { start, members }: Cliques,
  place: Int32Array,
): { start: Int32Array; rows: Int32Array } => {
  const heads = Array.from({ length: n }, (): number[] => []);
  for (let k = 0; k + 1 < start.length; k++) {
    let lowest = n;
    for (let at = start[k] as number; at < (start[k + 1] as number); at++)
      lowest = Math.min(lowest, place[members[at] as number] as number);
    if (lowest < n) (heads[lowest] as number[]).push(k);
  }
  const children = Array.from({ length: n }, (): number[] => []);
  const seen = new Int32Array(n).fill(-1);
  const columns: Int32Array[] = [];
  for (let j = 0; j < n; j++) {
    const own: number[] = [];
    for (const k of heads[j] as number[])
      for (let at = start[k] as number; at < (start[k + 1] as number); at++) {
        const row = place[members[at] as number] as number;
        if (row > j && seen[row] !== j) own.push(row);
        seen[row] = j;
      }
    for (const child of children[j] as number[])
      for (const row of columns[child] as Int32Array) {
        if (row > j && seen[row] !== j) own.push(row);
        seen[row] = j;
      }
    const column = Int32Array.from(own).sort();
    columns.push(column);
    if (column.length > 0) (children[column[0] as number] as number[]).push(j);
  }
  const starts = new Int32Array(n + 1);
  for (let j = 0; j < n; j++) starts[j + 1] = (starts[j] as number) + (columns[j] as Int32Array).length;
  const rows = new Int32Array(starts[n] as number);
  for (let j = 0; j < n; j++) rows.set(columns[j] as Int32Array, starts[j] as number);
  return { start: starts, rows };
};

/** Where entry (i, j), original indices, stands among the entries of a factor or inverse; NaN where the pattern has none. */
export const slotOf = (analysis: SparseAnalysis, i: number, j: number): number => {
  const [a, b] = [analysis.place[i] as number, analysis.place[j] as number];
  return slotAt(analysis, Math.max(a, b), Math.min(a, b));
};

/** The same by places, row >= column. */
export const slotAt = ({ start, rows, fullFrom }: SparseAnalysis, row: number, column: number): number => {
  if (row === column) return rows.length + row;
  const [from, to] = [start[column] as number, start[column + 1] as number];
  if (column >= fullFrom) return from + row - column - 1;
  let [low, high] = [from, to - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((rows[middle] as number) < row) low = middle + 1;
    else high = middle;
  }
  return low < to && rows[low] === row ? low : Number.NaN;
};

/** Entries of a symmetric matrix on the pattern of L: below the diagonal beside the analysis' rows, then the diagonal by place. */
export type SparseEntries = Float64Array;

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
 * Numeric LDL': left-looking, but full columns are updated as soon as a column is ready. Enters with the matrix in
 * `entries`, leaves with L below the diagonal and D on it. Returns false when a pivot is not above 0.
 */
export const factorSparse = (
  analysis: SparseAnalysis,
  entries: SparseEntries,
  scratch: SparseScratch = sparseScratch(analysis.n),
): boolean => {
  const { n, start, rows, fullFrom } = analysis;
  const size = rows.length;
  const { work, firstColumn } = scratch;
  work.fill(0);
  firstColumn.fill(-1);
  const chains: Chains = { ...scratch, rows, fullFrom };
  for (let j = 0; j < n; j++) {
    const [from, to] = [start[j] as number, start[j + 1] as number];
    if (j < fullFrom) gather(j, analysis, entries, chains);
    const pivot = entries[size + j] as number;
    if (!(pivot > 0)) return false;
    for (let at = from; at < to; at++) entries[at] = (entries[at] as number) / pivot;
    advance(j, from, to, chains);
    updateFull(j, analysis, entries);
  }
  return true;
};

/** Takes the columns before it that reach column j out of it. */
const gather = (j: number, { start, rows }: SparseAnalysis, entries: SparseEntries, chains: Chains): void => {
  const size = rows.length;
  const { work, firstColumn, nextColumn, cursor } = chains;
  const [from, to] = [start[j] as number, start[j + 1] as number];
  for (let at = from; at < to; at++) work[rows[at] as number] = entries[at] as number;
  let pivot = entries[size + j] as number;
  for (let k = firstColumn[j] as number; k >= 0; ) {
    const following = nextColumn[k] as number;
    const at = cursor[k] as number;
    const scaled = (entries[at] as number) * (entries[size + k] as number);
    pivot -= scaled * (entries[at] as number);
    const end = start[k + 1] as number;
    for (let below = at + 1; below < end; below++) {
      const row = rows[below] as number;
      work[row] = (work[row] as number) - scaled * (entries[below] as number);
    }
    advance(k, at + 1, end, chains);
    k = following;
  }
  entries[size + j] = pivot;
  for (let at = from; at < to; at++) {
    const row = rows[at] as number;
    entries[at] = work[row] as number;
    work[row] = 0;
  }
};

/** Takes column j, ready, out of the full columns. */
const updateFull = (j: number, { start, rows, fullFrom }: SparseAnalysis, entries: SparseEntries): void => {
  const size = rows.length;
  const to = start[j + 1] as number;
  const pivot = entries[size + j] as number;
  let at = to;
  while (at > (start[j] as number) && (rows[at - 1] as number) >= fullFrom) at -= 1;
  for (; at < to; at++) {
    const column = rows[at] as number;
    const scaled = (entries[at] as number) * pivot;
    entries[size + column] = (entries[size + column] as number) - scaled * (entries[at] as number);
    const base = (start[column] as number) - column - 1;
    for (let below = at + 1; below < to; below++) {
      const slot = base + (rows[below] as number);
      entries[slot] = (entries[slot] as number) - scaled * (entries[below] as number);
    }
  }
};

type Chains = SparseScratch & { rows: Int32Array; fullFrom: number };

/** Puts column k on the list of the column that needs it next (its row at `at`), unless that one is full. */
const advance = (
  k: number,
  at: number,
  end: number,
  { rows, fullFrom, cursor, firstColumn, nextColumn }: Chains,
): void => {
  if (at >= end || (rows[at] as number) >= fullFrom) return;
  cursor[k] = at;
  const target = rows[at] as number;
  nextColumn[k] = firstColumn[target] as number;
  firstColumn[target] = k;
};

/** Solves L Z = B in place; B has `width` numbers a place. */
export const solveLower = (
  { n, start, rows }: SparseAnalysis,
  factor: SparseEntries,
  block: Float64Array,
  width: number,
): void => {
  for (let k = 0; k < n; k++)
    for (let at = start[k] as number; at < (start[k + 1] as number); at++) {
      const [to, left] = [(rows[at] as number) * width, factor[at] as number];
      for (let a = 0; a < width; a++)
        block[to + a] = (block[to + a] as number) - left * (block[k * width + a] as number);
    }
};

/** Solves L' X = Z in place; Z has `width` numbers a place. */
export const solveUpper = (
  { n, start, rows }: SparseAnalysis,
  factor: SparseEntries,
  block: Float64Array,
  width: number,
): void => {
  for (let k = n - 1; k >= 0; k--)
    for (let at = start[k] as number; at < (start[k + 1] as number); at++) {
      const [from, left] = [(rows[at] as number) * width, factor[at] as number];
      for (let a = 0; a < width; a++)
        block[k * width + a] = (block[k * width + a] as number) - left * (block[from + a] as number);
    }
};
