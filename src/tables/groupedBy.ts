/** Rows by a key, groups and rows in the order first seen. */
export const groupedBy = <Row, Key>(rows: Iterable<Row>, keyOf: (row: Row) => Key): Map<Key, Row[]> => {
  const groups = new Map<Key, Row[]>();
  for (const row of rows) {
    const key = keyOf(row);
    const own = groups.get(key);
    if (own === undefined) groups.set(key, [row]);
    else own.push(row);
  }
  return groups;
};
