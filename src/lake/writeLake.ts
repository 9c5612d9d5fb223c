import { table, toArrowIPC } from 'arquero';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import { contentHash } from '../system/contentHash.ts';
import type { FileSystem } from '../system/fileSystem.ts';
import type { LakeColumns } from './lakeColumns.ts';
import type { LakeManifest, PartEntry, PartKind } from './ledger.ts';
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
  const write = (kind: PartKind, month: string, columns: LakeColumns): PartEntry => {
    const rows = table(columns);
    const bytes = toArrowIPC(rows, { format: 'file' }) as Uint8Array;
    const sha256 = contentHash(bytes);
    const path = `parts/${month}/${kind}-${sha256.slice(0, 16)}.arrow`;
    fs.replace(`${chainFolder}/lake/${path}`, bytes);
    return { path, kind, month, rows: rows.numRows(), sha256 };
  };
  const parts = planned.flatMap((part): PartEntry[] => {
    const own = write(part.kind, part.month, part.columns());
    return part.outputs === undefined
      ? [own]
      : [own, { ...write('outputs', part.month, part.outputs()), tests: own.path }];
  });
  const named = (part: PartEntry): string => `${part.path} ${part.tests ?? ''}`;
  const known = new Set(manifest.parts.map(named));
  const next = {
    ...manifest,
    parts: [...manifest.parts, ...parts.filter((part) => !known.has(named(part)))],
  };
  if (readManifest(chainFolder, fs, true).generation !== generation)
    throw new OperatorError(
      'another run changed the lake meanwhile; nothing of this run was kept, run again',
      exitCodes.locked,
    );
  fs.replace(`${chainFolder}/lake/manifest.json`, `${JSON.stringify(next, null, 1)}\n`);
  const kept = new Set([
    ...next.parts.map((part) => `${chainFolder}/lake/${part.path}`),
    ...(next.reference ?? []).map((event) => referencePlace(chainFolder, event.sha256)),
  ]);
  for (const folder of ['parts', 'reference'])
    for (const path of fs.list(`${chainFolder}/lake/${folder}`)) {
      const place = `${chainFolder}/lake/${folder}/${path}`;
      if (!kept.has(place)) fs.remove(place);
    }
};
