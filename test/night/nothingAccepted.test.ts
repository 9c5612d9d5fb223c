import { cpSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { nightly } from '../../pipelines/nightly.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

it('publishes three sites and every results file on a night whose every row was refused', async () => {
  const folder = join(mkdtempSync(join(tmpdir(), 'nothing-')), 'chain');
  cpSync('test/cases/publishedSheets', folder, { recursive: true });
  const sheets = join(folder, 'inbox/sheets.csv');
  writeFileSync(sheets, readFileSync(sheets, 'utf8').replaceAll('not given', 'no such grade'));
  const result = await nightly({
    chainFolder: folder,
    chain: readChain(folder, diskFileSystem),
    fs: diskFileSystem,
    asOfDay: dayFromIso('2026-01-10'),
    dryRun: false,
    progress: () => {},
  });
  expect(result.intake.reduce((sum, row) => sum + row.accepted, 0)).toBe(
    result.intake
      .filter((row) => !row.file.endsWith('sheets.csv'))
      .reduce((sum, row) => sum + row.rowsRead, 0),
  );
  const read = (name: string): string => readFileSync(join(folder, 'current', name), 'utf8');
  for (const reader of ['director', 'trainer', 'buyer'])
    expect(read(`published/${reader}/index.html`)).toContain('<h1');
  expect(read('results/tests.csv').trim().split('\n')).toHaveLength(1);
  expect(read('results/quote-ranking.csv').trim().split('\n')).toHaveLength(1);
});
