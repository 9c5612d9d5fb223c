import { byCodeUnit } from '../tables/byCodeUnit.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import type { PublishedResource } from './readRelease.ts';
import { parquetTable } from './results/parquetTable.ts';
import type { ResultRow } from './results/resultRows.ts';

/** A results table as it goes out: its Parquet files by path, and how many rows they hold. */
export type ExportedTable = { name: string; rows: number; files: Map<string, Uint8Array> };

/**
 * Every results table of a release as Parquet. Tables with a row (or rows) a test are partitioned by the month of its cut
 * the way Hive does it, `<table>/month=2026-11/part.parquet`; the others are `<table>/part.parquet`.
 */
export const parquetFiles = (
  resources: readonly PublishedResource[],
  rowsOf: (name: string) => ResultRow[],
): ExportedTable[] => {
  const monthOf = new Map(rowsOf('tests').map((row) => [testOf(row), (row['cut_date'] ?? '').slice(0, 7)]));
  return resources.map(({ name, schema }) => {
    const rows = rowsOf(name);
    const isOfTests = ['store', 'test_id'].every((key) => schema.primaryKey?.includes(key));
    const parts = isOfTests ? byMonth(rows, monthOf) : new Map([['', rows]]);
    const files = [...parts].map(([folder, part]): [string, Uint8Array] => [
      `${name}/${folder}part.parquet`,
      parquetTable(schema.fields, part),
    ]);
    return { name, rows: rows.length, files: new Map(files) };
  });
};

const testOf = (row: ResultRow): string => `${row['store']}\u0000${row['test_id']}`;

const byMonth = (
  rows: readonly ResultRow[],
  monthOf: ReadonlyMap<string, string>,
): Map<string, ResultRow[]> => {
  const parts = groupedBy(rows, (row) => `month=${monthOf.get(testOf(row))}/`);
  return new Map([...parts].sort(([a], [b]) => byCodeUnit(a, b)));
};
