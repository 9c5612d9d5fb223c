import { cpSync, mkdtempSync, readdirSync, readFileSync, readlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Ajv from 'ajv';
import addFormats from 'ajv-formats';
import { beforeAll, describe, expect, it } from 'vitest';
import { type Night, nightly } from '../../pipelines/nightly.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import type { PageCount } from '../../src/publish/sitesInput.ts';
import { diskFileSystem, type FileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';
import { contentsBelow } from '../pipelines/chainFolder.ts';

const run = (
  chainFolder: string,
  fs: FileSystem = diskFileSystem,
  {
    dryRun = false,
    onPage = () => {},
    asOfDay = dayFromIso('2026-01-20'),
  }: Partial<Pick<Night, 'dryRun' | 'onPage' | 'asOfDay'>> = {},
) =>
  nightly({
    chainFolder,
    chain: readChain(chainFolder, diskFileSystem),
    fs,
    asOfDay,
    dryRun,
    progress: () => {},
    onPage,
  });
const sheets = (folder: string): string => readFileSync(join(folder, 'inbox/sheets.csv'), 'utf8');
const manifests = (folder: string): Record<string, unknown>[] =>
  readdirSync(join(folder, 'runs'))
    .sort()
    .map((name) => JSON.parse(readFileSync(join(folder, 'runs', name, 'manifest.json'), 'utf8')));

describe('a run', () => {
  let folder: string;
  beforeAll(async () => {
    folder = join(mkdtempSync(join(tmpdir(), 'run-')), 'chain');
    cpSync('test/cases/publishedSheets', folder, { recursive: true });
    await run(folder);
  });

  it('writes nothing when dry, and counts what a wet one counts', async () => {
    writeFileSync(join(folder, 'inbox/late.csv'), sheets(folder).replaceAll(/^E/gm, 'L'));
    const before = contentsBelow(folder);
    const dry = await run(folder, diskFileSystem, { dryRun: true });
    expect(contentsBelow(folder)).toEqual(before);
    const wet = await run(folder);
    expect([dry.intake, dry.rejects, dry.tests, dry.restated]).toEqual([
      wet.intake,
      wet.rejects,
      wet.tests,
      wet.restated,
    ]);
  });

  it('says which published figures a later version moved and by how much', async () => {
    const later = sheets(folder)
      .split('\n')
      .filter((line) => line === '' || line.startsWith('test_id') || line.startsWith('E2,'))
      .map((line) =>
        line === '' ? '' : `${line},${line.startsWith('test_id') ? 'revised_on' : '2026-01-19'}`,
      )
      .join('\n')
      .replace('main piece,6.0', 'main piece,5.5');
    writeFileSync(join(folder, 'inbox/e2 again.csv'), later);
    const { restated } = await run(folder);
    expect(restated).toMatchObject([
      { store: 's', testId: 'E2', was: 'inbox/sheets.csv line 7', now: 'inbox/e2 again.csv line 2' },
    ]);
    const moved = new Map(restated[0]?.moved.map((figure) => [figure.figure, figure.by]));
    expect(moved.get('unaccounted_weight')).toBeCloseTo(0.5, 9);
    expect(moved.get('main_cut_yield')).toBeCloseTo(-0.5 / 12, 6);
    expect(moved.has('drained_weight')).toBe(false);
  });

  it('leaves manifests that the published schema describes', () => {
    const ajv = new Ajv.default({ allErrors: true, allowUnionTypes: true });
    addFormats.default(ajv);
    const validate = ajv.compile(JSON.parse(readFileSync('schemas/run-manifest.schema.json', 'utf8')));
    for (const manifest of manifests(folder))
      expect(validate(manifest), JSON.stringify(validate.errors)).toBe(true);
    expect(manifests(folder).at(-1)).toMatchObject({ restated: [{ testId: 'E2' }] });
    expect(validate({ ...manifests(folder)[0], tests: -1 })).toBe(false);
  });

  it('draws the pages of a night once, takes them over while nothing changes, and counts both', async () => {
    writeFileSync(join(folder, 'inbox/more.csv'), sheets(folder).replaceAll(/^E/gm, 'M'));
    const seen: number[] = [];
    const follow = ({ drawn, takenOver }: PageCount): void => {
      seen.push(drawn + takenOver);
    };
    const first = await run(folder, diskFileSystem, { onPage: follow });
    expect(first.pages.drawn).toBeGreaterThan(0);
    expect(first.pages.drawn + first.pages.takenOver).toBe(first.pages.of);
    expect(seen).toEqual(Array.from({ length: first.pages.of }, (_, i) => i + 1));
    const again = await run(folder);
    expect(again.pages).toEqual({ drawn: 0, takenOver: first.pages.of, of: first.pages.of });
    expect(again.changed).toBe(false);
    const log = readFileSync(
      join(folder, 'runs', readdirSync(join(folder, 'runs')).sort().at(-1) as string, 'log.ndjson'),
      'utf8',
    );
    const lines = log
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(lines.filter(({ msg }) => msg === 'pages')).toMatchObject([again.pages]);
  });

  it('logs one JSON object a line, whatever a file is called', async () => {
    writeFileSync(join(folder, 'inbox/a"}\n{"msg":"forged.csv'), 'no table\n');
    await run(folder);
    const last = readdirSync(join(folder, 'runs')).sort().at(-1) as string;
    const lines = readFileSync(join(folder, 'runs', last, 'log.ndjson'), 'utf8')
      .trimEnd()
      .split('\n');
    const events = lines.map((line) => JSON.parse(line).msg as string);
    expect([...new Set(events)].sort()).toEqual(['file', 'pages', 'rejects', 'release', 'stage']);
    expect(
      readFileSync(join(folder, 'runs', last, 'summary.txt'), 'utf8').split('\n').length,
    ).toBeLessThanOrEqual(41);
  });

  it('changes nothing any more once it was held up and another took its lock', async () => {
    writeFileSync(join(folder, 'inbox/more.csv'), sheets(folder).replaceAll(/^E/gm, 'M'));
    const before = {
      lake: contentsBelow(join(folder, 'lake')),
      current: readlinkSync(join(folder, 'current')),
    };
    let isTaken = false;
    const heldUp: FileSystem = {
      ...diskFileSystem,
      readBytes: (path) => {
        if (path.endsWith('more.csv') && !isTaken) {
          isTaken = true;
          writeFileSync(join(folder, 'lake/lock'), 'another run');
        }
        return diskFileSystem.readBytes(path);
      },
    };
    await expect(run(folder, heldUp)).rejects.toMatchObject({ exitCode: 75 });
    expect(readFileSync(join(folder, 'lake/lock'), 'utf8')).toBe('another run');
    const { lock, ...lake } = contentsBelow(join(folder, 'lake'));
    expect(lake).toEqual(before.lake);
    expect(readlinkSync(join(folder, 'current'))).toBe(before.current);
  });

  it('gives the very release of a past day again, though files and tables came since', async () => {
    const folder = join(mkdtempSync(join(tmpdir(), 'rerun-')), 'chain');
    cpSync('test/cases/publishedSheets', folder, { recursive: true });
    const { release } = await run(folder);
    const own = sheets(folder).replaceAll(/^E/gm, 'R');
    for (const day of [21, 22].map((date) => dayFromIso(`2026-01-${date}`))) {
      writeFileSync(join(folder, `inbox/r ${day}.csv`), own.replaceAll(/^R/gm, `R${day}`));
      await run(folder, diskFileSystem, { asOfDay: day });
    }
    const left = { 'inbox/later.csv': own, 'reference/stores.csv': 'store,name,region\ns,Store,North\n' };
    for (const [path, text] of Object.entries(left)) writeFileSync(join(folder, path), text);
    const rerun = await run(folder);
    expect([rerun.release, rerun.filesIngested]).toEqual([release, 0]);
    expect(rerun.rerun).toEqual({ latestDay: '2026-01-22', left: Object.keys(left) });
    expect(rerun.summary.join('\n')).toContain(
      'left for the next night: inbox/later.csv, reference/stores.csv',
    );
  });
});
