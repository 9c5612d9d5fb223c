import { contentHash } from '../system/contentHash.ts';
import type { FileSystem } from '../system/fileSystem.ts';

/**
 * Writes a release into releases/<id> (id = day + content, so equal content is the same release) and points `current` at it
 * by one rename. Files are written to a folder of another name and settled on the disk first: a release is whole or absent,
 * also after the machine went down. Returns id and whether anything changed.
 */
export const writeRelease = (
  chainFolder: string,
  day: string,
  files: ReadonlyMap<string, string>,
  fs: FileSystem,
): { id: string; changed: boolean } => {
  const names = [...files.keys()].sort();
  const id = `${day}-${contentHash(names.map((name) => `${name}\u0000${contentHash(files.get(name) as string)}`).join('\n')).slice(0, 12)}`;
  const target = `releases/${id}`;
  if (fs.readLink(`${chainFolder}/current`) === target && fs.exists(`${chainFolder}/${target}/complete`))
    return { id, changed: false };
  if (!fs.exists(`${chainFolder}/${target}/complete`)) {
    const building = `${chainFolder}/${target}.building`;
    fs.remove(building);
    fs.remove(`${chainFolder}/${target}`);
    for (const name of names) fs.write(`${building}/${name}`, files.get(name) as string);
    fs.write(`${building}/complete`, `${names.length}\n`);
    fs.settle(building);
    fs.rename(building, `${chainFolder}/${target}`);
  }
  fs.pointLink(`${chainFolder}/current`, target);
  return { id, changed: true };
};
