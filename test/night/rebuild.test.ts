import { cpSync, mkdtempSync, readdirSync, readFileSync, readlinkSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { type NightResult, nightly } from '../../pipelines/nightly.ts';
import { rebuild } from '../../pipelines/rebuild.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

describe('rebuilding the lake from the inbox', () => {
  let folder: string;
  const night = (day: string) => ({
    chainFolder: folder,
    chain: readChain(folder, diskFileSystem),
    fs: diskFileSystem,
    asOfDay: dayFromIso(day),
    dryRun: false,
    progress: () => {},
  });
  const run = (day = '2026-01-10'): Promise<NightResult> => nightly(night(day));
  const again = (dropMissing = false): Promise<NightResult> => rebuild(night('2026-01-12'), { dropMissing });
  const parts = (): string[] =>
    readdirSync(join(folder, 'lake/parts'), { recursive: true })
      .map(String)
      .filter((name) => name.endsWith('.arrow'));
  const results = (): string => readFileSync(join(folder, 'current/results/tests.csv'), 'utf8');

  beforeEach(() => {
    folder = join(mkdtempSync(join(tmpdir(), 'rebuild-')), 'chain');
    cpSync('test/cases/publishedSheets', folder, { recursive: true });
  });

  it('gives the same tests after a part was changed, which a night refuses to read', async () => {
    await run();
    const before = results();
    writeFileSync(join(folder, 'lake/parts', parts()[0] as string), 'spoiled');
    await expect(run()).rejects.toThrow(/deckle rebuild/);
    const result = await again();
    expect(result.filesIngested).toBe(1);
    expect(results()).toBe(before);
    expect((await run('2026-01-12')).filesIngested).toBe(0);
  });

  it('mends a broken manifest and leaves no part that it does not name', async () => {
    await run();
    writeFileSync(join(folder, 'lake/manifest.json'), '{"generation": 1, "fi');
    await expect(run()).rejects.toThrow(/deckle rebuild/);
    writeFileSync(join(folder, 'lake/parts/2026-01/left.arrow'), 'left by a run that was cut off');
    await again();
    const named = JSON.parse(readFileSync(join(folder, 'lake/manifest.json'), 'utf8')).parts as {
      path: string;
    }[];
    expect(parts().sort()).toEqual(named.map((part) => part.path.replace('parts/', '')).sort());
  });

  it('keeps the day a file was first seen, so that the same version wins', async () => {
    await run('2026-01-10');
    const later = readFileSync(join(folder, 'inbox/sheets.csv'), 'utf8').replaceAll('38-12', '39-4');
    writeFileSync(join(folder, 'inbox/a-later.csv'), later);
    await run('2026-01-11');
    const before = results();
    expect(before).toContain('39.25');
    await again();
    expect(results()).toBe(before);
  });

  it('refuses to lose tests of files that are gone, unless told to', async () => {
    writeFileSync(
      join(folder, 'inbox/more.csv'),
      readFileSync(join(folder, 'inbox/sheets.csv'), 'utf8').replaceAll(/^E/gm, 'F'),
    );
    const { tests } = await run();
    rmSync(join(folder, 'inbox/more.csv'));
    const link = readlinkSync(join(folder, 'current'));
    await expect(again()).rejects.toThrow(/1 file of the lake is no longer in the inbox, first inbox\/more/);
    expect(readlinkSync(join(folder, 'current'))).toBe(link);
    expect((await again(true)).tests).toBe(tests / 2);
  });

  it('reads a copy of a known file once only', async () => {
    cpSync(join(folder, 'inbox/sheets.csv'), join(folder, 'inbox/zcopy.csv'));
    expect((await run()).filesIngested).toBe(2);
    const second = await run();
    expect(second.filesIngested).toBe(0);
    expect(second.changed).toBe(false);
  });
});
