import { appendFileSync, cpSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { nightly } from '../../pipelines/nightly.ts';
import { record } from '../../pipelines/record.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { writeRemovedCutter } from '../../src/catalog/writeRemovedCutter.ts';
import { recordLines } from '../../src/cli/recordLines.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';
import { contentsBelow } from '../pipelines/chainFolder.ts';

const canary = 'c-canary';

describe('a cutter who asks what is held, and then to be forgotten', () => {
  const folder = join(mkdtempSync(join(tmpdir(), 'forgotten-')), 'chain');
  const setting = () => ({
    chainFolder: folder,
    chain: readChain(folder, diskFileSystem),
    fs: diskFileSystem,
    asOfDay: dayFromIso('2026-01-10'),
  });
  const run = () => nightly({ ...setting(), dryRun: false, progress: () => {} });
  const bytes = (...parts: string[]): string =>
    parts.flatMap((part) => Object.values(contentsBelow(join(folder, part)))).join('\n');

  const sent = (): string[] => readFileSync(join(folder, 'inbox/sheets.csv'), 'utf8').trimEnd().split('\n');
  const lineOf = (test: string): number => sent().findIndex((row) => row.startsWith(`${test},`)) + 1;
  let tests = 0;

  beforeAll(async () => {
    cpSync('test/cases/publishedSheets', folder, { recursive: true });
    const sheets = join(folder, 'inbox/sheets.csv');
    writeFileSync(sheets, readFileSync(sheets, 'utf8').replaceAll(/^(E12.,s,)c,/gm, `$1${canary},`));
    writeFileSync(join(folder, 'reference/cutters.csv'), `cutter,name\n${canary},Robin Canary\n`);
    tests = (await run()).tests;
  });

  it('gets every test, output and result that names them, with the line it came from', () => {
    const recorded = record(canary, setting());
    const rows = new Map(recorded.tables.map((table) => [table.name, table.rows]));
    expect(
      rows.get('lake/tests')?.map((row) => [row['testId'], row['sourceFile'], row['sourceLine']]),
    ).toEqual([
      ['E12A', 'inbox/sheets.csv', lineOf('E12A')],
      ['E12B', 'inbox/sheets.csv', lineOf('E12B')],
    ]);
    expect(rows.get('results/test-outputs')).toHaveLength(7);
    const named =
      readFileSync(join(folder, 'current/results/effects.csv'), 'utf8').split(`,${canary},`).length - 1;
    expect(rows.get('results/effects')).toHaveLength(named);
    const lines = recordLines(recorded).join('\n');
    expect(lines).toContain('reference/cutters: 1 row');
    expect(lines).toContain('Robin Canary');
    expect(lines).not.toContain('NaN');
  });

  it('is in no byte of the lake and the releases once on the list, and nothing is held of them any more', async () => {
    expect(bytes('lake', 'releases')).toContain(canary);
    appendFileSync(join(folder, 'chain.yaml'), '\nretention: { releases: 1 }\n');
    expect(writeRemovedCutter(folder, canary, diskFileSystem)).toBe(true);
    writeFileSync(join(folder, 'reference/cutters.csv'), 'cutter,name\n');
    const rows = sent().length - 1;
    const night = await run();
    expect(night.tests).toBe(tests - 2);
    expect(night.intake[0]).toMatchObject({ rowsRead: rows, accepted: rows - 7, ignored: 7 });
    expect(bytes('lake', 'releases')).not.toMatch(/c-canary|Robin/);
    expect(() => record(canary, setting())).toThrow(expect.objectContaining({ exitCode: 64 }));
    const again = await run();
    expect([again.filesIngested, again.changed]).toEqual([0, false]);
  });
});
