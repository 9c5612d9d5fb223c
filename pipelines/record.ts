import type { Chain } from '../src/catalog/chain.ts';
import { exitCodes, OperatorError } from '../src/faults/operatorError.ts';
import { storedRows } from '../src/lake/lakeRows.ts';
import { readManifest, readParts } from '../src/lake/readLake.ts';
import { cutterRecord, type RecordTable } from '../src/publish/cutterRecord.ts';
import { readCodeKey } from '../src/publish/readCodeKey.ts';
import { readCurrent, readResources, readResults } from '../src/publish/readRelease.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';
import { keyedCode } from '../src/system/keyedCode.ts';
import { takeInReference } from './referenceIntake.ts';

/** One cutter's whole record, and the code under which the cutter appears on the trainer's pages. */
export type Recorded = { cutter: string; code: string; tables: RecordTable[] };

/** All that the chain's folder holds of one cutter, but for the files that stores sent. Throws OperatorError (64) for nobody. */
export const record = (
  cutter: string,
  setting: { chainFolder: string; chain: Chain; fs: FileSystem; asOfDay: number },
): Recorded => {
  const { chainFolder, chain, fs } = setting;
  const manifest = readManifest(chainFolder, fs);
  const batches = new Set(manifest.files.map((file) => file.batch));
  const release = readCurrent(chainFolder, fs);
  const names = release === '' ? [] : readResources(release, fs).map((resource) => resource.name);
  const tables = cutterRecord(cutter, {
    lake: storedRows(readParts(chainFolder, manifest, fs), batches),
    reference: takeInReference(manifest, setting).tables,
    results: names.map((name) => ({ name, rows: readResults(release, name, fs) })),
  });
  if (tables.length === 0)
    throw new OperatorError(`nothing is held of a cutter "${cutter}" in ${chainFolder}`, exitCodes.usage);
  return { cutter, code: keyedCode(readCodeKey(chainFolder, chain, fs), cutter), tables };
};
