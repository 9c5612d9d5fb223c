import { describe, expect, it } from 'vitest';
import { parquetFiles } from '../../src/publish/parquetFiles.ts';
import type { ResultRow } from '../../src/publish/results/resultRows.ts';

const field = (name: string) => ({ name, type: 'string' as const });
const resources = [
  {
    name: 'tests',
    schema: { fields: ['store', 'test_id', 'cut_date'].map(field), primaryKey: ['store', 'test_id'] },
  },
  {
    name: 'test-outputs',
    schema: { fields: ['store', 'test_id', 'output'].map(field), primaryKey: ['store', 'test_id', 'output'] },
  },
  { name: 'effects', schema: { fields: [field('id')], primaryKey: ['id'] } },
];
const rows: Record<string, ResultRow[]> = {
  tests: [
    { store: 's', test_id: '1', cut_date: '2026-11-23' },
    { store: 's', test_id: '2', cut_date: '2026-10-31' },
  ],
  'test-outputs': [
    { store: 's', test_id: '1', output: 'fat' },
    { store: 's', test_id: '1', output: 'eye' },
    { store: 's', test_id: '2', output: 'fat' },
  ],
  effects: [{ id: 'c' }],
};

describe('parquetFiles', () => {
  it('are by month of the cut where a row is of a test, and one file a table elsewhere', () => {
    const tables = parquetFiles(resources, (name) => rows[name] ?? []);
    expect(tables.map((table) => [table.name, table.rows, [...table.files.keys()]])).toEqual([
      ['tests', 2, ['tests/month=2026-10/part.parquet', 'tests/month=2026-11/part.parquet']],
      [
        'test-outputs',
        3,
        ['test-outputs/month=2026-10/part.parquet', 'test-outputs/month=2026-11/part.parquet'],
      ],
      ['effects', 1, ['effects/part.parquet']],
    ]);
  });

  it('are none for a table by month that has no rows', () => {
    const [tests] = parquetFiles(resources, () => []);
    expect([tests?.rows, tests?.files.size]).toEqual([0, 0]);
  });
});
