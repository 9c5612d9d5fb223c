import type { FileSystem } from '../system/fileSystem.ts';
import type { InboxFile } from './readInbox.ts';
import { readOne, sentFile } from './readInbox.ts';

/** The reference tables a chain may send, by file name. */
export const referenceTables = [
  'stores',
  'cutters',
  'prices',
  'quotes',
  'volumes',
  'standards',
  'coaching',
] as const;

/** Paths of files that lie beside the reference tables under a name that none of them has: nobody reads them. */
export const readUnknownReference = (chainFolder: string, fs: FileSystem): string[] => {
  const known = new Set(referenceTables.map((table) => `${table}.csv`));
  return fs
    .list(`${chainFolder}/reference`)
    .filter((path) => sentFile.test(path) && !known.has(path))
    .map((path) => `reference/${path}`);
};

/** Those of the reference tables that the operator's folder holds. */
export const readReferenceFiles = (
  chainFolder: string,
  fs: FileSystem,
): { table: string; file: InboxFile }[] =>
  referenceTables
    .filter((table) => fs.exists(`${chainFolder}/reference/${table}.csv`))
    .map((table) => ({
      table,
      file: readOne(`${chainFolder}/reference/${table}.csv`, `reference/${table}.csv`, fs),
    }));
