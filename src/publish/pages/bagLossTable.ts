import type { BagLossRow } from '../../findings/buying/bagLosses.ts';
import { columns, type Table } from './dataTable.tsx';
import type { Formats } from './formats.ts';

/** Purge and leakers by supplier, plant, days since pack and leaker, % of billed weight. */
export const bagLossTable = (rows: readonly BagLossRow[], write: Formats): Table => {
  const isTold = rows.some((row) => Number.isFinite(row.leakerShare));
  const leakers = ({ leakerShare }: BagLossRow): string =>
    Number.isFinite(leakerShare) ? write.percent(leakerShare) : isTold ? 'not told' : '';
  return {
    id: 'bag-losses',
    sortable: true,
    caption: 'Purge, % of billed weight, and share of bags that leaked; in brackets the 95 % interval',
    columns: columns('Supplier', 'By', 'Group', '#Purge', '#Leakers', '#Tests'),
    rows: rows.map((row) => [
      row.supplier === '' ? 'all' : row.supplier,
      row.by,
      row.by === 'supplier' ? '' : row.group,
      row.missing === ''
        ? `${write.percent(row.purgeShare)} (${write.range(100 * row.low, 100 * row.high, write.tenths)})`
        : row.missing,
      leakers(row),
      write.count(row.tests),
    ]),
  };
};
