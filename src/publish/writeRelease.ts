import { contentHash } from '../system/contentHash.ts';
import type { FileSystem } from '../system/fileSystem.ts';
import { fileHash, type ReleaseFile } from './releaseFile.ts';
import { type ReleasesKept, staleReleases } from './staleReleases.ts';

/** A release to be: the day it stands on, its files by path, and which releases are kept beside it. */
export type PlannedRelease = { day: string; files: ReadonlyMap<string, ReleaseFile>; kept: ReleasesKept };

/**
 * Writes a release into releases/<id> (id = day + content, so equal content is the same release) and points `current` at it
 * by one rename. Files are written to a folder of another name and settled on the disk first: a release is whole or absent,
 * also after the machine went down. Then removes the releases that are no longer kept. Returns id and whether anything changed.
 */
export const writeRelease = (
  chainFolder: string,
  { day, files, kept }: PlannedRelease,
  fs: FileSystem,
): { id: string; changed: boolean } => {
  const names = [...files.keys()].sort();
  const id = `${day}-${contentHash(names.map((name) => `${name}\u0000${fileHash(files.get(name) as ReleaseFile)}`).join('\n')).slice(0, 12)}`;
  const changed = putInForce(chainFolder, id, files, fs);
  for (const name of staleReleases(fs.names(`${chainFolder}/releases`), id, kept))
    fs.remove(`${chainFolder}/releases/${name}`);
  return { id, changed };
};

/** Writes the release where it is not whole yet and points `current` at it; false when it is in force already. */
const putInForce = (
  chainFolder: string,
  id: string,
  files: ReadonlyMap<string, ReleaseFile>,
  fs: FileSystem,
): boolean => {
  const target = `releases/${id}`;
  const isWhole = fs.exists(`${chainFolder}/${target}/complete`);
  if (isWhole && fs.readLink(`${chainFolder}/current`) === target) return false;
  if (!isWhole) {
    const building = `${chainFolder}/${target}.building`;
    fs.remove(building);
    fs.remove(`${chainFolder}/${target}`);
    for (const [name, file] of files)
      if (typeof file === 'string') fs.write(`${building}/${name}`, file);
      else fs.copy(file.from, `${building}/${name}`);
    fs.write(`${building}/complete`, `${files.size}\n`);
    fs.settle(building);
    fs.rename(building, `${chainFolder}/${target}`);
  }
  fs.pointLink(`${chainFolder}/current`, target);
  return true;
};
