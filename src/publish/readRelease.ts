import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import type { FindingRow } from '../findings/found.ts';
import type { FileSystem } from '../system/fileSystem.ts';
import { type ResultRow, resultRows } from './results/resultRows.ts';

/** A finding as written to findings.json: missing numbers are null. */
export type PublishedFinding = FindingRow;

/** Rows of one results file of the current release. Throws OperatorError (66) when there is none. */
export const readResults = (chainFolder: string, name: string, fs: FileSystem): ResultRow[] => {
  const path = `${chainFolder}/current/results/${name}.csv`;
  if (!fs.exists(path))
    throw new OperatorError(
      `no results/${name}.csv in ${chainFolder}; make a release with: deckle run ${chainFolder}`,
      exitCodes.noInput,
    );
  return resultRows(fs.readText(path));
};

/** Rows of one results file of the current release; none where there is no release yet. */
export const readResultsOrNone = (chainFolder: string, name: string, fs: FileSystem): ResultRow[] =>
  fs.exists(`${chainFolder}/current/results/${name}.csv`) ? readResults(chainFolder, name, fs) : [];

/** The findings of the current release with their evidence; none where there is no release. */
export const readFindings = (chainFolder: string, fs: FileSystem): PublishedFinding[] => {
  const path = `${chainFolder}/current/results/findings.json`;
  return fs.exists(path) ? JSON.parse(fs.readText(path)) : [];
};
