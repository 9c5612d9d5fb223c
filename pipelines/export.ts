import { parquetFiles } from '../src/publish/parquetFiles.ts';
import { readCurrentOrFail, readResources, readResults } from '../src/publish/readRelease.ts';
import { writeExport } from '../src/publish/writeExport.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';

/** What went out: the release, and rows and files by results table. */
export type Exported = { release: string; tables: { name: string; rows: number; files: number }[] };

/** Writes the release in force into `folder` as Parquet. Throws OperatorError (66) without a release, (73) for a folder in use. */
export const exportRelease = (chainFolder: string, folder: string, fs: FileSystem): Exported => {
  const place = readCurrentOrFail(chainFolder, fs);
  const release = place.slice(chainFolder.length + 1);
  const tables = parquetFiles(readResources(place, fs), (name) => readResults(place, name, fs));
  writeExport(folder, release, new Map(tables.flatMap(({ files }) => [...files])), fs);
  return { release, tables: tables.map(({ name, rows, files }) => ({ name, rows, files: files.size })) };
};
