import { spawnSync } from 'node:child_process';
import {
  appendFileSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';

const deckle = (...words: string[]) =>
  spawnSync(process.execPath, ['dist/src/cli/main.js', ...words], { encoding: 'utf8' });

/** What the sheets hold: rows below the header, and tests. */
const sent = readFileSync('test/cases/publishedSheets/inbox/sheets.csv', 'utf8')
  .trimEnd()
  .split('\n')
  .slice(1);
const sheets = { rows: sent.length, tests: new Set(sent.map((row) => row.split(',')[0])).size };

describe('exit codes of a night as the shell sees them', () => {
  let folder: string;
  const run = (...more: string[]) => deckle('run', folder, '--as-of', '2026-01-10', ...more);

  beforeEach(() => {
    folder = join(mkdtempSync(join(tmpdir(), 'codes-')), 'chain');
    cpSync('test/cases/publishedSheets', folder, { recursive: true });
  });

  it('0 when all is well, with one result as JSON and nothing on stderr', () => {
    const { status, stdout, stderr } = run('--json');
    expect([status, stderr.replaceAll(/^WARN .*\n/gm, '')]).toEqual([0, '']);
    expect(JSON.parse(stdout)).toMatchObject({
      filesIngested: 1,
      tests: sheets.tests,
      staleStores: 0,
      rejects: [],
    });
  });

  it('3 when a row is refused; 4, which wins, when the store is silent too', () => {
    appendFileSync(
      join(folder, 'inbox/sheets.csv'),
      'E99,s,c,2026-01-05,E1 rib,not given,,38-12,drained,,lb-oz,3.19,oven-ready,,fat,heavy\n',
    );
    expect(run('--dry-run').status).toBe(3);
    const late = deckle('run', folder, '--as-of', '2026-11-23');
    expect(late.status).toBe(4);
    expect(late.stdout).toContain('1 reject; ');
    expect(late.stdout).toMatch(/inbox\/sheets.csv: \d+ rows read = \d+ accepted \+ 1 rejected/);
  });

  it('66 without files, 64 for a word too many, 78 for a wrong chain file with the key that was meant', () => {
    rmSync(join(folder, 'inbox'), { recursive: true });
    expect(run().status).toBe(66);
    expect(run('more').status).toBe(64);
    appendFileSync(join(folder, 'chain.yaml'), '\ntolerance: { unaccounted_warn: 1 }\n');
    const wrong = run();
    expect(wrong.status).toBe(78);
    expect(wrong.stderr).toMatch(/^deckle: chain.yaml line \d+: .*did you mean "tolerances"\?\n$/);
  });

  it('73 where it cannot write, 74 where a part of the lake was changed, 75 while another run is at work', () => {
    writeFileSync(join(folder, 'releases'), 'in the way');
    const write = run();
    expect([write.status, write.stderr]).toEqual([73, expect.stringContaining('cannot write')]);
    rmSync(join(folder, 'releases'));
    expect(run().status).toBe(0);
    const part = readdirSync(join(folder, 'lake/parts/2026-01'))[0] as string;
    writeFileSync(join(folder, 'lake/parts/2026-01', part), '');
    expect(run().status).toBe(74);
    expect(deckle('rebuild', folder, '--as-of', '2026-01-10').status).toBe(0);
    mkdirSync(join(folder, 'lake'), { recursive: true });
    writeFileSync(join(folder, 'lake/lock'), JSON.stringify({ pid: process.pid, host: hostname() }));
    const held = run();
    expect([held.status, held.stderr]).toEqual([75, expect.stringContaining('wait for it')]);
  });

  it('leaves a record of each run: stages with seconds, a summary of at most 40 lines, a log', () => {
    expect(run().status).toBe(0);
    const record = join(folder, 'runs', readdirSync(join(folder, 'runs'))[0] as string);
    const manifest = JSON.parse(readFileSync(join(record, 'manifest.json'), 'utf8'));
    expect(manifest.stages['reading the inbox']).toMatchObject({ rows: sheets.rows, files: 1 });
    for (const stage of Object.values(manifest.stages) as { seconds: number }[])
      expect(stage.seconds).toBeGreaterThanOrEqual(0);
    const summary = readFileSync(join(record, 'summary.txt'), 'utf8').trimEnd().split('\n');
    expect(summary.length).toBeLessThanOrEqual(40);
    expect(summary[0]).toContain(`inbox/sheets.csv: ${sheets.rows} rows read = ${sheets.rows} accepted`);
    const log = readFileSync(join(record, 'log.ndjson'), 'utf8').trimEnd().split('\n');
    expect(log.map((line) => JSON.parse(line).msg)).toContain('release');
  });
});
