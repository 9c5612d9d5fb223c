import { type ColumnTable, fromArrow } from 'arquero';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import { contentHash } from '../system/contentHash.ts';
import type { FileSystem } from '../system/fileSystem.ts';
import { emptyManifest, type LakeManifest, type PartKind } from './ledger.ts';

/** The lake's manifest; an empty one when there is no lake yet. */
export const readManifest = (chainFolder: string, fs: FileSystem): LakeManifest => {
  const path = `${chainFolder}/lake/manifest.json`;
  return fs.exists(path) ? JSON.parse(fs.readText(path)) : emptyManifest;
};

/** Every part the manifest names, checked against its SHA-256. Throws OperatorError (74) when one was changed or lost. */
export const readParts = (
  chainFolder: string,
  manifest: LakeManifest,
  fs: FileSystem,
): { kind: PartKind; table: ColumnTable }[] =>
  manifest.parts.map((part) => {
    const path = `${chainFolder}/lake/${part.path}`;
    const bytes = fs.exists(path) ? fs.readBytes(path) : new Uint8Array();
    if (contentHash(bytes) !== part.sha256) {
      throw new OperatorError(
        `lake part ${part.path} is missing or was changed; move lake/ away and run again to rebuild it from inbox/`,
        exitCodes.cannotRead,
      );
    }
    return { kind: part.kind, table: fromArrow(bytes) };
  });
