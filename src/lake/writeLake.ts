import { table, toArrowIPC } from 'arquero';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import { contentHash } from '../system/contentHash.ts';
import type { FileSystem } from '../system/fileSystem.ts';
import type { LakeManifest, PartEntry } from './ledger.ts';
import type { PlannedPart } from './plannedParts.ts';
import { readManifest, referencePlace } from './readLake.ts';

/** What a night adds to the lake. `reference`: contents of reference tables by SHA-256, kept for reruns of past days. */
export type LakeAddition = {
  manifest: LakeManifest;
  planned: readonly PlannedPart[];
  reference: ReadonlyMap<string, Uint8Array>;
};

/**
 * Writes the planned parts (immutable, named by content), swaps the manifest by rename, then clears what it does not name.
 * OperatorError (75) when the lake is no longer at `generation`, the one this night was worked out on.
 */
export const writeLake = (
  chainFolder: string,
  { manifest, planned, reference }: LakeAddition,
  generation: number,
  fs: FileSystem,
): void => {
  for (const [sha256, bytes] of reference) fs.replace(referencePlace(chainFolder, sha256), bytes);
  const parts: PartEntry[] = planned.map((part) => {
    const rows = table(part.columns);
    const bytes = toArrowIPC(rows, { format: 'file' }) as Uint8Array;
    const sha256 = contentHash(bytes);
    const path = `parts/${part.month}/${part.kind}-${sha256.slice(0, 16)}.arrow`;
    fs.replace(`${chainFolder}/lake/${path}`, bytes);
    return { path, kind: part.kind, month: part.month, rows: rows.numRows(), sha256 };
  });
  const known = new Set(manifest.parts.map((part) => part.path));
  const next = { ...manifest, parts: [...manifest.parts, ...parts.filter((part) => !known.has(part.path))] };
  if (readManifest(chainFolder, fs, true).generation !== generation)
    throw new OperatorError(
      'another run changed the lake meanwhile; nothing of this run was kept, run again',
      exitCodes.locked,
    );
  fs.replace(`${chainFolder}/lake/manifest.json`, `${JSON.stringify(next, null, 1)}\n`);
  const named = new Set([
    ...next.parts.map((part) => `${chainFolder}/lake/${part.path}`),
    ...(next.reference ?? []).map((event) => referencePlace(chainFolder, event.sha256)),
  ]);
  for (const folder of ['parts', 'reference'])
    for (const path of fs.list(`${chainFolder}/lake/${folder}`)) {
      const place = `${chainFolder}/lake/${folder}/${path}`;
      if (!named.has(place)) fs.remove(place);
    }
};
