import type { RepairRow } from '../review/reviewed.ts';
import { keyedCode } from '../system/keyedCode.ts';
import { type Published, publishedSites } from './publishedSites.ts';
import type { ReleaseFile } from './releaseFile.ts';
import { results } from './results/results.ts';
import type { SitesInput } from './sitesInput.ts';

/** Everything one release holds: results/ and what `publishedSites` gives. No clock in any byte. */
export const publish = async (
  input: Omit<SitesInput, 'cutterCode'> & {
    repairs: readonly RepairRow[];
    codeKey: string;
  },
): Promise<Published> => {
  const tables = [...results(input)].map(([name, text]) => [`results/${name}`, text] as const);
  const sites = await publishedSites({
    ...input,
    cutterCode: (cutter) => keyedCode(input.codeKey, cutter),
  });
  return { ...sites, files: new Map<string, ReleaseFile>([...tables, ...sites.files]) };
};
