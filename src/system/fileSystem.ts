import * as fs from 'node:fs';
import { dirname, join, sep } from 'node:path';
import { byCodeUnit } from '../tables/byCodeUnit.ts';

/** The only way to the disk. Every edge takes one, so that tests can make each call fail. All paths absolute. */
export type FileSystem = {
  /** Files below a folder at any depth, as '/'-separated relative paths in code-unit order; [] when absent. Links are not followed. */
  list(folder: string): string[];
  exists(path: string): boolean;
  stat(path: string): { size: number; modifiedMs: number };
  readBytes(path: string): Uint8Array;
  readText(path: string): string;
  makeFolder(path: string): void;
  /** Writes a file whose folder is made when missing; neither atomic nor synced: for new folders that are settled before use. */
  write(path: string, data: string | Uint8Array): void;
  /** Copies a file, its folder made when missing; like `write` neither atomic nor synced. */
  copy(from: string, to: string): void;
  /** Writes to a temporary name, syncs, and renames: a reader sees the old or the new file, whole. */
  replace(path: string, data: string | Uint8Array): void;
  /** Returns once every file and folder below is on the disk, so that the machine may go down. */
  settle(folder: string): void;
  /** Renames and syncs the folder of the new name. */
  rename(from: string, to: string): void;
  remove(path: string): void;
  /** Creates a file that must not exist yet, with its content in one step; false when it exists. */
  createNew(path: string, data: string): boolean;
  /** Points a link at a target by making a new link and renaming it over the old. */
  pointLink(link: string, target: string): void;
  readLink(link: string): string;
  /** Names in a folder, sorted; [] when absent. */
  names(folder: string): string[];
};

const sync = (path: string): void => {
  const handle = fs.openSync(path, 'r');
  try {
    fs.fsyncSync(handle);
  } finally {
    fs.closeSync(handle);
  }
};

const writeSynced = (path: string, data: string | Uint8Array): void => {
  const handle = fs.openSync(path, 'w');
  try {
    fs.writeFileSync(handle, data);
    fs.fsyncSync(handle);
  } finally {
    fs.closeSync(handle);
  }
};

/** For disks without hard links: the file may be seen empty for a moment. */
const writtenNew = (path: string, data: string): boolean => {
  try {
    fs.writeFileSync(path, data, { flag: 'wx' });
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  }
};

/**
 * Whether something is there, a dangling link counting as nothing. A disk that fails or forbids to look throws: taken for
 * "nothing there" it would make a night begin from an empty lake.
 */
const exists = (path: string): boolean => {
  try {
    return fs.statSync(path, { throwIfNoEntry: false }) !== undefined;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ENOTDIR' || code === 'ENAMETOOLONG') return false;
    throw error;
  }
};

const list = (folder: string): string[] => {
  if (!exists(folder)) return [];
  return fs
    .readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) =>
      join(entry.parentPath, entry.name)
        .slice(folder.length + 1)
        .split(sep)
        .join('/'),
    )
    .sort(byCodeUnit);
};

/** The real disk. */
export const diskFileSystem: FileSystem = {
  list,
  exists,
  stat: (path) => {
    const found = fs.statSync(path);
    return { size: found.size, modifiedMs: Math.trunc(found.mtimeMs) };
  },
  readBytes: (path) => fs.readFileSync(path),
  readText: (path) => fs.readFileSync(path, 'utf8'),
  makeFolder: (path) => {
    fs.mkdirSync(path, { recursive: true });
  },
  write: (path, data) => {
    fs.mkdirSync(dirname(path), { recursive: true });
    fs.writeFileSync(path, data);
  },
  copy: (from, to) => {
    fs.mkdirSync(dirname(to), { recursive: true });
    fs.copyFileSync(from, to, fs.constants.COPYFILE_FICLONE);
  },
  replace: (path, data) => {
    fs.mkdirSync(dirname(path), { recursive: true });
    const temporary = `${path}.new`;
    writeSynced(temporary, data);
    fs.renameSync(temporary, path);
    sync(dirname(path));
  },
  settle: (folder) => {
    for (const name of fs.readdirSync(folder, { recursive: true })) sync(join(folder, String(name)));
    sync(folder);
  },
  rename: (from, to) => {
    fs.renameSync(from, to);
    sync(dirname(to));
  },
  remove: (path) => fs.rmSync(path, { recursive: true, force: true }),
  createNew: (path, data) => {
    const temporary = `${path}.${process.pid}.new`;
    writeSynced(temporary, data);
    try {
      fs.linkSync(temporary, path);
      return true;
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (code === 'EEXIST') return false;
      if (code === 'ENOTSUP' || code === 'EPERM') return writtenNew(path, data);
      throw error;
    } finally {
      fs.rmSync(temporary, { force: true });
    }
  },
  pointLink: (link, target) => {
    const temporary = `${link}.new`;
    fs.rmSync(temporary, { force: true });
    fs.symlinkSync(target, temporary);
    fs.renameSync(temporary, link);
    sync(dirname(link));
  },
  readLink: (link) => (exists(link) ? fs.readlinkSync(link) : ''),
  names: (folder) => (exists(folder) ? fs.readdirSync(folder).sort(byCodeUnit) : []),
};
