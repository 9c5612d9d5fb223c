import { byCodeUnit } from '../../tables/byCodeUnit.ts';
import { groupedBy } from '../../tables/groupedBy.ts';

/** Rows in groups by a key, groups sorted by key in code-unit order. */
export const groups = <Row>(rows: readonly Row[], key: (row: Row) => string): [string, Row[]][] =>
  [...groupedBy(rows, key)].sort(([a], [b]) => byCodeUnit(a, b));
