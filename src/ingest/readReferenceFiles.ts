import type { FileSystem } from '../system/fileSystem.ts';
import type { InboxFile } from './readInbox.ts';
import { readOne } from './readInbox.ts';

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
