import { stringify } from 'csv-stringify/sync';
import { csvLines } from '../../tables/csvLines.ts';

/** A column of a results file: its name in the contract and its value in a row. */
export type Column<Row> = readonly [name: string, value: (row: Row) => string | number];

/** RFC 4180 text with a header line; missing numbers are empty cells; numbers keep every digit they have. */
export const csvText = <Row>(rows: readonly Row[], columns: readonly Column<Row>[]): string => {
  const cell = (value: string | number): string =>
    typeof value === 'number' ? (Number.isFinite(value) ? String(value) : '') : value;
  return stringify(
    [columns.map(([name]) => name), ...rows.map((row) => columns.map(([, value]) => cell(value(row))))],
    csvLines,
  );
};
