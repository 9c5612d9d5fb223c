import { contentHash } from '../system/contentHash.ts';
import type { FileSystem } from '../system/fileSystem.ts';

export type InboxFile = { path: string; bytes: Uint8Array; sha256: string; modifiedMs: number };

/** Every CSV below the inbox, in code-unit order of its path, with its bytes and their SHA-256. */
export const readInbox = (chainFolder: string, fs: FileSystem): InboxFile[] =>
  fs
    .list(`${chainFolder}/inbox`)
    .filter((path) => path.toLowerCase().endsWith('.csv'))
    .map((path) => readOne(`${chainFolder}/inbox/${path}`, `inbox/${path}`, fs));

/** One file by its place on disk, under the name it is reported by. */
export const readOne = (place: string, path: string, fs: FileSystem): InboxFile => {
  const bytes = fs.readBytes(place);
  return { path, bytes, sha256: contentHash(bytes), modifiedMs: fs.stat(place).modifiedMs };
};
