import {
  chmodSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { diskFileSystem as disk } from '../../src/system/fileSystem.ts';

const newFolder = (): string => mkdtempSync(join(tmpdir(), 'disk-'));

describe('diskFileSystem', () => {
  it('takes a missing file, a file below a file and a dangling link for nothing', () => {
    const folder = newFolder();
    writeFileSync(join(folder, 'file'), '');
    symlinkSync('nowhere', join(folder, 'link'));
    expect(disk.exists(join(folder, 'file'))).toBe(true);
    expect(disk.exists(join(folder, 'none'))).toBe(false);
    expect(disk.exists(join(folder, 'file/below'))).toBe(false);
    expect([disk.exists(join(folder, 'link')), disk.readLink(join(folder, 'link'))]).toEqual([false, '']);
    expect([disk.list(join(folder, 'none')), disk.names(join(folder, 'none'))]).toEqual([[], []]);
  });
  it('throws where it is not allowed to look, instead of finding nothing', () => {
    const folder = newFolder();
    disk.makeFolder(join(folder, 'closed'));
    writeFileSync(join(folder, 'closed/manifest.json'), '{}');
    chmodSync(join(folder, 'closed'), 0);
    const look = (): boolean => disk.exists(join(folder, 'closed/manifest.json'));
    // whoever may read everything sees the file; everybody else is told
    if (process.getuid?.() === 0) expect(look()).toBe(true);
    else expect(look).toThrow(expect.objectContaining({ code: 'EACCES' }));
    chmodSync(join(folder, 'closed'), 0o700);
  });
  it('lists files at any depth with slashes in order of code units, links and folders left out', () => {
    const folder = newFolder();
    disk.write(join(folder, 'b/x.csv'), '1');
    disk.write(join(folder, 'B.csv'), '2');
    disk.write(join(folder, 'a.csv'), '3');
    symlinkSync(join(folder, 'a.csv'), join(folder, 'link.csv'));
    expect(disk.list(folder)).toEqual(['B.csv', 'a.csv', 'b/x.csv']);
  });
  it('copies a file to a folder that is not there yet, and neither changes with the other', () => {
    const folder = newFolder();
    disk.write(join(folder, 'a'), 'old');
    disk.copy(join(folder, 'a'), join(folder, 'deep/b'));
    disk.write(join(folder, 'a'), 'new');
    expect([disk.readText(join(folder, 'a')), disk.readText(join(folder, 'deep/b'))]).toEqual(['new', 'old']);
  });
  it('replaces a file whole and leaves nothing beside it', () => {
    const path = join(newFolder(), 'deep/file.txt');
    disk.replace(path, 'old');
    disk.replace(path, 'new');
    expect(readFileSync(path, 'utf8')).toBe('new');
    expect(readdirSync(join(path, '..'))).toEqual(['file.txt']);
  });
  it('creates a file once', () => {
    const path = join(newFolder(), 'lock');
    expect([disk.createNew(path, 'a'), disk.createNew(path, 'b'), readFileSync(path, 'utf8')]).toEqual([
      true,
      false,
      'a',
    ]);
  });
  it('swaps a link from one target to another', () => {
    const folder = newFolder();
    for (const name of ['one', 'two']) {
      disk.makeFolder(join(folder, name));
      disk.pointLink(join(folder, 'current'), name);
      expect(disk.readLink(join(folder, 'current'))).toBe(name);
    }
    expect(existsSync(join(folder, 'current.new'))).toBe(false);
  });
});
