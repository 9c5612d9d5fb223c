import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import type { FileSystem } from '../system/fileSystem.ts';

/** Names a folder as an export of ours, which the next one may replace. */
const mark = 'deckle-export.json';

/**
 * Writes an export into `folder`, whole: under another name first, then swapped for the one that is there. OperatorError (73)
 * where the folder holds anything else.
 */
export const writeExport = (
  folder: string,
  release: string,
  files: ReadonlyMap<string, Uint8Array>,
  fs: FileSystem,
): void => {
  if (fs.list(folder).length > 0 && !fs.exists(`${folder}/${mark}`))
    throw new OperatorError(
      `${folder} holds something else than an export; name an empty or a new folder`,
      exitCodes.cannotWrite,
    );
  const building = `${folder}.building`;
  fs.remove(building);
  for (const [path, bytes] of files) fs.write(`${building}/${path}`, bytes);
  fs.write(`${building}/${mark}`, `${JSON.stringify({ release })}\n`);
  fs.settle(building);
  fs.remove(folder);
  fs.rename(building, folder);
};
