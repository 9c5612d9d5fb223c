/** Rows in groups by a key, groups sorted by key in code-unit order. */
export const groups = <Row>(rows: readonly Row[], key: (row: Row) => string): [string, Row[]][] => {
  const found = new Map<string, Row[]>();
  for (const row of rows) {
    const own = found.get(key(row));
    if (own === undefined) found.set(key(row), [row]);
    else own.push(row);
  }
  return [...found].sort((a, b) => (a[0] < b[0] ? -1 : 1));
};
