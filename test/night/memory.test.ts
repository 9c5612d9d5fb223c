import { cpSync, mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Ajv from 'ajv';
import { beforeAll, describe, expect, it } from 'vitest';
import { nightly } from '../../pipelines/nightly.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import type { FindingRow } from '../../src/findings/found.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

describe('what a night remembers of the nights before', () => {
  const folder = join(mkdtempSync(join(tmpdir(), 'memory-')), 'chain');
  const text = (): string => readFileSync(join(folder, 'current/results/findings.json'), 'utf8');
  const run = async (day: string): Promise<{ text: string; rows: FindingRow[] }> => {
    await nightly({
      chainFolder: folder,
      chain: readChain(folder, diskFileSystem),
      fs: diskFileSystem,
      asOfDay: dayFromIso(day),
      dryRun: false,
      progress: () => {},
    });
    return { text: text(), rows: JSON.parse(text()) as FindingRow[] };
  };
  const send = (sender: string): void =>
    cpSync(`sample-data/inbox/${sender}`, join(folder, 'inbox', sender), { recursive: true });
  const onPeople = (rows: readonly FindingRow[]): FindingRow[] => rows.filter((row) => row.cutter !== '');
  const statusOf = (rows: readonly FindingRow[], cutter: string): string[] =>
    rows.filter((row) => row.cutter === cutter && row.kind.includes('trim')).map((row) => row.status);
  let nights: Awaited<ReturnType<typeof run>>[];

  beforeAll(async () => {
    for (const part of ['chain.yaml', 'reference'])
      cpSync(`sample-data/${part}`, join(folder, part), { recursive: true });
    send('pounds');
    const first = await run('2026-11-22');
    send('tabs');
    nights = [first, await run('2026-11-23'), await run('2026-11-24'), await run('2026-11-22')];
  });

  it('is nothing on the first night: everything on people is new', () => {
    const rows = onPeople(nights[0]?.rows ?? []);
    expect(rows.length).toBeGreaterThan(0);
    expect(new Set(rows.map((row) => row.status))).toEqual(new Set(['new']));
    expect(statusOf(rows, 'c-0702')).toEqual(['new']);
  });

  it('tells nobody the same news twice, and what came with new sheets as new', () => {
    const rows = nights[1]?.rows ?? [];
    expect(statusOf(rows, 'c-0702')).toEqual(['continuing']);
    expect(statusOf(rows, 'c-0485')).toEqual(['new']);
  });

  it('has no news on a night without sheets, and keeps the ids', () => {
    const [, before, after] = nights.map(({ rows }) => rows.filter((row) => row.kind !== 'silent-store'));
    expect(after?.filter((row) => row.status === 'new').map((row) => [row.kind, row.headline])).toEqual([]);
    const ids = (rows: readonly FindingRow[] = []): string[] =>
      onPeople(rows)
        .map((row) => row.findingId)
        .sort();
    expect(ids(after)).toEqual(ids(before));
  });

  it('says of a past day what that night said, byte for byte', () => {
    expect(nights[3]?.text).toBe(nights[0]?.text);
  });

  it('writes findings.json as its schema says, with ids that tell findings apart', () => {
    const validate = new Ajv.default({ allowUnionTypes: true }).compile(
      JSON.parse(readFileSync('schemas/findings.schema.json', 'utf8')),
    );
    for (const { rows } of nights) {
      expect(validate(rows), JSON.stringify(validate.errors?.slice(0, 3))).toBe(true);
      expect(new Set(rows.map((row) => row.findingId)).size).toBe(rows.length);
    }
  });
});
