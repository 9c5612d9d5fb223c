import { fromArrow } from 'arquero';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import { contentHash } from '../system/contentHash.ts';
import type { FileSystem } from '../system/fileSystem.ts';
import type { ReadPart } from './lakeRows.ts';
import { emptyManifest, type LakeManifest } from './ledger.ts';

/**
 * The lake's manifest; an empty one when there is no lake yet. Throws OperatorError (74) when it cannot be read, or gives
 * the empty one where it is to be replaced anyway.
 */
export const readManifest = (chainFolder: string, fs: FileSystem, isReplaced = false): LakeManifest => {
  const path = `${chainFolder}/lake/manifest.json`;
  if (!fs.exists(path)) return emptyManifest;
  try {
    return JSON.parse(fs.readText(path));
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    if (isReplaced) return emptyManifest;
    throw new OperatorError(
      `${path} is broken; read the inbox again with: deckle rebuild ${chainFolder}`,
      exitCodes.cannotRead,
    );
  }
};

/** Every part the manifest names, checked against its SHA-256. Throws OperatorError (74) when one was changed or lost. */
export const readParts = (chainFolder: string, manifest: LakeManifest, fs: FileSystem): ReadPart[] =>
  manifest.parts.map((part) => {
    const path = `${chainFolder}/lake/${part.path}`;
    const bytes = fs.exists(path) ? fs.readBytes(path) : new Uint8Array();
    const isAlone = part.kind === 'outputs' && part.tests === undefined;
    if (contentHash(bytes) !== part.sha256 || isAlone) {
      throw new OperatorError(
        `lake part ${part.path} is missing or was changed; read the inbox again with: deckle rebuild ${chainFolder}`,
        exitCodes.cannotRead,
      );
    }
    return { kind: part.kind, path: part.path, tests: part.tests ?? '', table: fromArrow(bytes) };
  });

/** Where the lake keeps a past content of a reference table. */
export const referencePlace = (chainFolder: string, sha256: string): string =>
  `${chainFolder}/lake/reference/${sha256}.csv`;

/** A past content of a reference table, checked against its SHA-256. Throws OperatorError (74) when it was changed or lost. */
export const readReference = (chainFolder: string, sha256: string, fs: FileSystem): Uint8Array => {
  const place = referencePlace(chainFolder, sha256);
  const bytes = fs.exists(place) ? fs.readBytes(place) : new Uint8Array();
  if (contentHash(bytes) === sha256) return bytes;
  throw new OperatorError(
    `${place} is missing or was changed; a rerun for that day is not possible`,
    exitCodes.cannotRead,
  );
};
