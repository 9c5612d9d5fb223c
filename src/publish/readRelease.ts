import { parse } from 'csv-parse/sync';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import type { FileSystem } from '../system/fileSystem.ts';

/** Rows of one results file of the current release, cells as text by column. Throws OperatorError (66) when there is none. */
export const readResults = (chainFolder: string, name: string, fs: FileSystem): Record<string, string>[] => {
  const path = `${chainFolder}/current/results/${name}.csv`;
  if (!fs.exists(path))
    throw new OperatorError(
      `no release in ${chainFolder}; make one with: deckle run ${chainFolder}`,
      exitCodes.noInput,
    );
  return parse(fs.readText(path), { columns: true });
};

/** The findings of the current release with their evidence. */
export const readFindings = (
  chainFolder: string,
  fs: FileSystem,
): {
  findingId: string;
  headline: string;
  step: string;
  adjustments: string[];
  evidence: { store: string; testId: string; sourceFile: string; sourceLine: number }[];
}[] => {
  const path = `${chainFolder}/current/results/findings.json`;
  return fs.exists(path) ? JSON.parse(fs.readText(path)) : [];
};
