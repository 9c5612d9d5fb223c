/** Two text columns that name a row together. */
export type RowNames = readonly [readonly string[], readonly string[]];

/**
 * For each row of one table the row of another that has the same two names; -1 where there is none. Tables in the same order
 * are walked side by side; only where they are not is an index of the other built.
 */
export const matchedRows = (rows: RowNames, others: RowNames): Int32Array => {
  const [firsts, seconds] = rows;
  const [otherFirsts, otherSeconds] = others;
  const is = (at: number, i: number): boolean =>
    otherSeconds[at] === seconds[i] && otherFirsts[at] === firsts[i];
  let index: Map<string, number> | undefined;
  let last = 0;
  const found = new Int32Array(firsts.length);
  for (let i = 0; i < firsts.length; i++) {
    if (!is(last, i)) {
      if (is(last + 1, i)) last += 1;
      else {
        index ??= new Map(otherFirsts.map((first, row) => [`${first}\u0000${otherSeconds[row]}`, row]));
        last = index.get(`${firsts[i]}\u0000${seconds[i]}`) ?? -1;
      }
    }
    found[i] = last;
    if (last < 0) last = 0;
  }
  return found;
};

/** Rows by the group they belong to (stable): those of group g are rows[start[g]] .. rows[start[g + 1] - 1]. -1 = in none. */
export const groupedRows = (groupOf: Int32Array, groups: number): { start: Int32Array; rows: Int32Array } => {
  const start = new Int32Array(groups + 1);
  for (const group of groupOf) if (group >= 0) start[group + 1] = (start[group + 1] as number) + 1;
  for (let g = 0; g < groups; g++) start[g + 1] = (start[g + 1] as number) + (start[g] as number);
  const next = start.slice();
  const rows = new Int32Array(start[groups] as number);
  for (let row = 0; row < groupOf.length; row++) {
    const group = groupOf[row] as number;
    if (group < 0) continue;
    rows[next[group] as number] = row;
    next[group] = (next[group] as number) + 1;
  }
  return { start, rows };
};
