import { cpSync, existsSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, it } from 'vitest';
import { exportRelease } from '../../pipelines/export.ts';
import { nightly } from '../../pipelines/nightly.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

describe('the export of a release', () => {
  const base = mkdtempSync(join(tmpdir(), 'export-'));
  const chain = join(base, 'chain');
  const out = join(base, 'out');
  let tests = 0;

  beforeAll(async () => {
    cpSync('test/cases/publishedSheets', chain, { recursive: true });
    const night = await nightly({
      chainFolder: chain,
      chain: readChain(chain, diskFileSystem),
      fs: diskFileSystem,
      asOfDay: dayFromIso('2026-01-10'),
      dryRun: false,
      progress: () => {},
    });
    tests = night.tests;
  });

  it('is read by a query engine as partitioned Parquet with the figures of the results', async () => {
    const { release, tables } = exportRelease(chain, out, diskFileSystem);
    expect(existsSync(join(chain, release, 'complete'))).toBe(true);
    expect(tables.find((table) => table.name === 'tests')).toEqual({ name: 'tests', rows: tests, files: 1 });
    const engine = await (await DuckDBInstance.create(':memory:')).connect();
    const found = await engine.runAndReadAll(
      `select test_id, residual_cost, cast(cut_date as varchar), month
       from read_parquet('${out}/tests/**/*.parquet', hive_partitioning = true) order by test_id`,
    );
    const results = parse(readFileSync(join(chain, 'current/results/tests.csv'), 'utf8'), {
      columns: true,
    }) as Record<string, string>[];
    const expected = results
      .map((row) => [row['test_id'], Number(row['residual_cost']), row['cut_date'], '2026-01'])
      .sort((a, b) => (String(a[0]) < String(b[0]) ? -1 : 1));
    expect(found.getRows()).toEqual(expected);
    engine.closeSync();
  });

  it('replaces an earlier export and nothing else', () => {
    exportRelease(chain, out, diskFileSystem);
    writeFileSync(join(base, 'mine.txt'), 'mine');
    expect(() => exportRelease(chain, base, diskFileSystem)).toThrow(
      expect.objectContaining({ exitCode: 73 }),
    );
    expect(readFileSync(join(base, 'mine.txt'), 'utf8')).toBe('mine');
    expect(() => exportRelease('test/cases/pollution', out, diskFileSystem)).toThrow(
      expect.objectContaining({ exitCode: 66 }),
    );
  });
});
