import { contentHash } from '../system/contentHash.ts';
import type { FileSystem } from '../system/fileSystem.ts';

/** A file as found: `size` in bytes and time of change, before a byte is read. */
export type InboxEntry = { path: string; size: number; modifiedMs: number };
export type InboxFile = InboxEntry & { bytes: Uint8Array; sha256: string };

/** Files that stores send by mistake instead of a CSV; each is refused by name. What is hidden is left alone. */
export const sentFile = /(?:^|\/)(?![.~])[^/]*\.(?:csv|txt|tsv|xlsx?|xlsm|ods|numbers|pdf|html?|zip|gz)$/i;

/** Every file that a store has sent and that is there, in code-unit order of its path, as found on the disk. */
export const readInbox = (chainFolder: string, fs: FileSystem): InboxEntry[] =>
  sentPaths(chainFolder, fs)
    .filter((path) => fs.exists(`${chainFolder}/${path}`))
    .map((path) => ({ path, ...fs.stat(`${chainFolder}/${path}`) }));

/** Paths of files that cannot be opened, as the bytes of their names are no UTF-8. */
export const readUnnameable = (chainFolder: string, fs: FileSystem): string[] =>
  sentPaths(chainFolder, fs).filter(
    (path) => path.includes('\ufffd') && !fs.exists(`${chainFolder}/${path}`),
  );

const sentPaths = (chainFolder: string, fs: FileSystem): string[] =>
  fs
    .list(`${chainFolder}/inbox`)
    .filter((path) => sentFile.test(path))
    .map((path) => `inbox/${path}`);

/** One file of the inbox with its bytes and their SHA-256; one over `mostBytes` comes without bytes, known by its size and time. */
export const readEntry = (
  chainFolder: string,
  entry: InboxEntry,
  mostBytes: number,
  fs: FileSystem,
): InboxFile => {
  if (entry.size > mostBytes)
    return {
      ...entry,
      bytes: new Uint8Array(),
      sha256: contentHash(`too large: ${entry.size} ${entry.modifiedMs}`),
    };
  const bytes = fs.readBytes(`${chainFolder}/${entry.path}`);
  return { ...entry, bytes, sha256: contentHash(bytes) };
};

/** Whether a file is still as it was found: one that grows or changes while the night reads waits for the next. */
export const readUnchanged = (chainFolder: string, entry: InboxEntry, fs: FileSystem): boolean => {
  const place = `${chainFolder}/${entry.path}`;
  if (!fs.exists(place)) return false;
  const now = fs.stat(place);
  return now.size === entry.size && now.modifiedMs === entry.modifiedMs;
};

/** One file by its place on disk, under the name it is reported by. */
export const readOne = (place: string, path: string, fs: FileSystem): InboxFile => {
  const bytes = fs.readBytes(place);
  return { path, bytes, sha256: contentHash(bytes), ...fs.stat(place) };
};
