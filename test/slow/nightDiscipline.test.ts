import { spawn, spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { contentHash } from '../../src/system/contentHash.ts';

const cli = 'dist/src/cli/main.js';
/** Moments at which a run is killed: KILLS=200 for the long test. */
const kills = Number(process.env['KILLS'] ?? 20);
const newFolder = (): string => join(mkdtempSync(join(tmpdir(), 'night-')), 'chain');
const run = (folder: string, env: Record<string, string> = {}) =>
  spawnSync(process.execPath, [cli, 'run', folder, '--as-of', '2026-11-23', '--quiet'], {
    env: { ...process.env, ...env },
    encoding: 'utf8',
  });
const releaseHash = (folder: string): string => {
  const base = join(folder, readlinkSync(join(folder, 'current')));
  const names = readdirSync(base, { recursive: true })
    .map(String)
    .filter((name) => statSync(join(base, name)).isFile())
    .sort();
  return contentHash(
    names.map((name) => `${name} ${contentHash(readFileSync(join(base, name)))}`).join('\n'),
  );
};
/** Numbers in [0, 1) from a seed (mulberry32). */
const seeded = (seed: number): (() => number) => {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
};

/** Forty tests a store of three stores and nine cutters; the same pieces either way of weighing. */
const pieces = (weighed: 'in-bag' | 'drained'): string => {
  const rows = [
    'test_id,store,cutter,cut_date,item,grade,billed_weight,received_weight,weighed,purge_weight,unit,unit_cost,method,output,output_weight',
  ];
  for (let i = 0; i < 150; i++) {
    const cutter = i % 9;
    const drained = 12 + ((i * 7) % 30) / 10;
    const purge = 0.1 + ((i * 3) % 10) / 100;
    const main = drained * (0.8 + ((i * 11) % 13) / 400 - (cutter === 4 ? 0.04 : 0));
    const fat = drained * 0.09;
    const trim = drained - main - fat - 0.1;
    const received = weighed === 'in-bag' ? drained + purge : drained;
    for (const [output, weight] of [
      ['ribeye steak', main],
      ['fat', fat],
      ['lean trim', trim],
    ] as const) {
      rows.push(
        `t${i},s${cutter % 3},c${cutter},2026-0${1 + (Math.floor(i / 9) % 9)}-15,112A,Choice,${(drained + purge).toFixed(3)},${received.toFixed(3)},${weighed},${weighed === 'in-bag' ? purge.toFixed(3) : ''},lb,11,whole steaks,${output},${weight.toFixed(3)}`,
      );
    }
  }
  return `${rows.join('\n')}\n`;
};

describe('one night as operators run it', () => {
  it('gives the same cutter effects for pieces weighed in the bag with purge and drained without', () => {
    const effects = (['in-bag', 'drained'] as const).map((weighed) => {
      const folder = newFolder();
      expect(spawnSync(process.execPath, [cli, 'new', folder]).status).toBe(0);
      writeFileSync(join(folder, 'inbox', 'tests.csv'), pieces(weighed));
      expect(run(folder).status).toBe(4);
      const rows = parse(readFileSync(join(folder, 'current/results/effects.csv'), 'utf8'), {
        columns: true,
      }) as Record<string, string>[];
      return rows
        .filter((row) => row['kind'] === 'cutter-item')
        .map((row) => [row['id'], row['outcome'], Number(row['effect'])] as const);
    });
    const [inBag, drained] = effects as [
      (readonly [string, string, number])[],
      (readonly [string, string, number])[],
    ];
    expect(inBag.length).toBe(81);
    expect(Math.max(...inBag.map((row) => Math.abs(row[2])))).toBeGreaterThan(0.5);
    for (const [i, row] of inBag.entries()) {
      expect(row.slice(0, 2)).toEqual(drained[i]?.slice(0, 2));
      expect(row[2]).toBeCloseTo(drained[i]?.[2] as number, 9);
    }
  });

  it('writes the same bytes in two time zones and two locales', () => {
    const hashes = [
      { TZ: 'Asia/Tokyo', LC_ALL: 'de_DE.UTF-8', LANG: 'de_DE.UTF-8' },
      { TZ: 'America/Los_Angeles', LC_ALL: 'C', LANG: 'C' },
    ].map((env) => {
      const folder = newFolder();
      for (const part of ['chain.yaml', 'inbox', 'reference'])
        cpSync(`sample-data/${part}`, join(folder, part), { recursive: true, preserveTimestamps: true });
      expect(run(folder, env).status).toBe(4);
      return releaseHash(folder);
    });
    expect(hashes[0]).toBe(hashes[1]);
  });

  it(
    `shows the old or the new release, whole, when killed at ${kills} random moments; the next run needs no hands`,
    async () => {
      const folder = newFolder();
      cpSync('test/cases/publishedSheets', folder, { recursive: true });
      const began = performance.now();
      expect(run(folder).status).toBe(4);
      const duration = performance.now() - began;
      const old = releaseHash(folder);
      const before = readlinkSync(join(folder, 'current'));
      const tests = (): Record<string, string>[] =>
        parse(readFileSync(join(folder, 'current/results/tests.csv'), 'utf8'), { columns: true });
      const count = tests().length;
      const sheets = readFileSync(join(folder, 'inbox/sheets.csv'), 'utf8').replaceAll(/^E/gm, 'F');
      const random = seeded(20261123);
      const killed = [];
      for (let moment = 0; moment < kills; moment++) {
        // every run has something new to take in: the same tests, cut by somebody else
        writeFileSync(join(folder, 'inbox/more.csv'), sheets.replaceAll(',c,', `,c-${moment},`));
        const child = spawn(process.execPath, [cli, 'run', folder, '--as-of', '2026-11-23', '--quiet'], {
          stdio: 'ignore',
        });
        await new Promise((resolve) => setTimeout(resolve, 1.1 * duration * random()));
        child.kill('SIGKILL');
        await new Promise((resolve) =>
          child.exitCode !== null || child.signalCode !== null ? resolve(null) : child.once('exit', resolve),
        );
        killed.push(child.signalCode === 'SIGKILL');
        const now = readlinkSync(join(folder, 'current'));
        expect(existsSync(join(folder, now, 'complete'))).toBe(true);
        if (now === before) expect(releaseHash(folder)).toBe(old);
      }
      console.log(
        `${killed.filter(Boolean).length} of ${kills} runs killed while at work: none mixed, none lost`,
      );
      expect(killed.filter(Boolean).length).toBeGreaterThan(kills / 4);
      expect(run(folder).status).toBe(4);
      expect(tests()).toHaveLength(2 * count);
      const cutters = new Set(tests().map((row) => row['cutter']));
      expect([...cutters].sort()).toEqual(['c', `c-${kills - 1}`]);
    },
    60_000 * kills,
  );
});
