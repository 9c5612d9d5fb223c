import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import type { ReleaseFile } from '../../src/publish/releaseFile.ts';
import { writeRelease } from '../../src/publish/writeRelease.ts';
import { contentHash } from '../../src/system/contentHash.ts';
import { diskFileSystem, type FileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

const night = (text: string): Map<string, string> =>
  new Map([
    ['results/tests.csv', text],
    ['published/director/index.html', '<p>'],
  ]);

describe('writeRelease', () => {
  let folder: string;
  const all = { beforeDay: Number.NEGATIVE_INFINITY, most: 0 };
  const write = (text: string, { day = '2026-01-10', kept = all } = {}) =>
    writeRelease(folder, { day, files: night(text), kept }, diskFileSystem);

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'release-'));
  });

  it('names a release by day and content, whatever the order of its files, and points current at it', () => {
    const { id, changed } = write('a');
    expect(changed).toBe(true);
    expect(id).toMatch(/^2026-01-10-[0-9a-f]{12}$/);
    expect(readlinkSync(join(folder, 'current'))).toBe(`releases/${id}`);
    expect(readFileSync(join(folder, 'current/results/tests.csv'), 'utf8')).toBe('a');
    const turned = new Map([...night('a')].reverse());
    const planned = { day: '2026-01-10', files: turned, kept: all };
    expect(writeRelease(folder, planned, diskFileSystem)).toEqual({ id, changed: false });
  });

  it('takes a file over from the release in force without reading it, and is the same release as if it were written', () => {
    const before = write('a');
    const page = 'published/director/index.html';
    const from = join(folder, 'releases', before.id, page);
    const kept = new Map<string, ReleaseFile>([
      ['results/tests.csv', 'b'],
      [page, { from, hash: contentHash('<p>') }],
    ]);
    const planned = { day: '2026-01-10', files: kept, kept: all };
    const blind: FileSystem = {
      ...diskFileSystem,
      readText: () => {
        throw new Error('nothing is to be read');
      },
    };
    const { id } = writeRelease(folder, planned, blind);
    expect(readFileSync(join(folder, 'current', page), 'utf8')).toBe('<p>');
    expect(write('b')).toEqual({ id, changed: false });
  });

  it('has every file and folder on the disk before the release gets its name, and its name before current', () => {
    const calls: string[] = [];
    const told = (name: 'write' | 'settle' | 'rename' | 'pointLink', path: string): void => {
      calls.push(
        `${name} ${path.slice(folder.length + 1).replace(/^releases\/[^/]*?([.]building)?(?=\/|$)/, 'release$1')}`,
      );
    };
    const fs: FileSystem = {
      ...diskFileSystem,
      write: (path, data) => {
        told('write', path);
        diskFileSystem.write(path, data);
      },
      settle: (path) => {
        told('settle', path);
        diskFileSystem.settle(path);
      },
      rename: (from, to) => {
        told('rename', from);
        diskFileSystem.rename(from, to);
      },
      pointLink: (link, target) => {
        told('pointLink', link);
        diskFileSystem.pointLink(link, target);
      },
    };
    writeRelease(folder, { day: '2026-01-10', files: night('a'), kept: all }, fs);
    expect(calls).toEqual([
      'write release.building/results/tests.csv',
      'write release.building/published/director/index.html',
      'write release.building/complete',
      'settle release.building',
      'rename release.building',
      'pointLink current',
    ]);
  });

  it('makes another release for other content and keeps the earlier one', () => {
    const first = write('a');
    const second = write('b');
    expect(second.id).not.toBe(first.id);
    expect(readdirSync(join(folder, 'releases')).sort()).toEqual([first.id, second.id].sort());
  });

  it('goes back to a release that is there already, and writes one anew that is not whole', () => {
    const first = write('a');
    write('b');
    expect(write('a')).toEqual({ id: first.id, changed: true });
    rmSync(join(folder, 'releases', first.id, 'complete'));
    writeFileSync(join(folder, 'releases', first.id, 'results/tests.csv'), 'half');
    write('b');
    expect(write('a').id).toBe(first.id);
    expect(readFileSync(join(folder, 'current/results/tests.csv'), 'utf8')).toBe('a');
    expect(existsSync(join(folder, 'releases', `${first.id}.building`))).toBe(false);
  });

  it('removes the releases that are no longer kept, once the new one is in force', () => {
    const ids = ['07', '08', '09'].map((day) => write(day, { day: `2026-01-${day}` }).id);
    const left = (): string[] => readdirSync(join(folder, 'releases')).sort();
    const next = write('a', { kept: { ...all, beforeDay: dayFromIso('2026-01-08') } }).id;
    expect(left()).toEqual([ids[1], ids[2], next]);
    expect(write('a', { kept: { ...all, most: 2 } }).changed).toBe(false);
    expect(left()).toEqual([ids[2], next]);
  });
});
