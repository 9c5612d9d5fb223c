import type { Expected, YieldByWeightRow } from '../../findings/buying/buyingRows.ts';
import { columns, type Table } from './dataTable.tsx';
import type { Formats } from './formats.ts';

/** Saleable and main cut of billed weight, value and cost over piece weight for one item, by grade and supplier. */
export const byWeightTable = (title: string, rows: readonly YieldByWeightRow[], write: Formats): Table => {
  const share = ({ value, low, high }: Expected): string =>
    `${write.percent(value)} (${write.range(100 * low, 100 * high, write.tenths)})`;
  const money = ({ value, low, high }: Expected): string =>
    Number.isFinite(value)
      ? `${write.cents(value * write.unitKg)} (${write.range(low * write.unitKg, high * write.unitKg, write.cents)})`
      : '';
  return {
    caption: `${title}: by piece weight, of billed weight, ${write.currency} per ${write.unit}; in brackets the 95 % interval`,
    columns: columns(
      'Grade',
      'Supplier',
      `#Weight, ${write.unit}`,
      'Range',
      '#Saleable',
      '#Main cut',
      '#Value',
      '#Per saleable',
      '#Tests',
    ),
    rows: rows.map((row) => [
      row.grade,
      row.supplier === '' ? 'average' : row.supplier,
      write.tenths(row.weightKg / write.unitKg),
      row.weightClass,
      share(row.saleable),
      share(row.mainCut),
      row.missing === '' ? money(row.valuePerBilledKg) : row.missing,
      money(row.costPerSaleableKg),
      write.count(row.tests),
    ]),
  };
};
