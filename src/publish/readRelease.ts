import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import type { FindingRow } from '../findings/found.ts';
import type { FileSystem } from '../system/fileSystem.ts';
import { type ResultRow, resultRows } from './results/resultRows.ts';

/** A finding as written to findings.json: missing numbers are null. */
export type PublishedFinding = FindingRow;

/** A results file as datapackage.json describes it. */
export type PublishedResource = {
  name: string;
  schema: {
    fields: { name: string; type: 'string' | 'number' | 'integer' | 'date' | 'boolean' }[];
    primaryKey?: string[];
  };
};

/** Folder of the release in force, itself and not the link to it, so that all is read of one; '' when there is none. */
export const readCurrent = (chainFolder: string, fs: FileSystem): string => {
  const target = fs.readLink(`${chainFolder}/current`);
  return target === '' ? '' : `${chainFolder}/${target}`;
};

/** The same, where there must be one. Throws OperatorError (66) when there is none. */
export const readCurrentOrFail = (chainFolder: string, fs: FileSystem): string => {
  const release = readCurrent(chainFolder, fs);
  if (release !== '') return release;
  throw new OperatorError(
    `no release in ${chainFolder} yet; make one with: deckle run ${chainFolder}`,
    exitCodes.noInput,
  );
};

/** Rows of one results file of a release; none where there is no release ('') or no such file. */
export const readResults = (release: string, name: string, fs: FileSystem): ResultRow[] => {
  const path = `${release}/results/${name}.csv`;
  return release !== '' && fs.exists(path) ? resultRows(fs.readText(path)) : [];
};

/** What datapackage.json says of the results files of a release. */
export const readResources = (release: string, fs: FileSystem): PublishedResource[] =>
  JSON.parse(fs.readText(`${release}/results/datapackage.json`)).resources;

/** The findings of a release with their evidence; none where there is no release (''). */
export const readFindings = (release: string, fs: FileSystem): PublishedFinding[] => {
  const path = `${release}/results/findings.json`;
  return release !== '' && fs.exists(path) ? JSON.parse(fs.readText(path)) : [];
};
