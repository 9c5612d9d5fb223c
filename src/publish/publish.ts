import type { IntakeRow, Reject } from '../ingest/ingested.ts';
import { keyedCode } from '../system/keyedCode.ts';
import { results } from './results/results.ts';
import { renderSites } from './site.tsx';
import type { SitesInput } from './sitesInput.ts';

/** Everything one release holds, as file texts by path: results/ and published/<bundle>/. No clock in any byte. */
export const publish = async (
  input: Omit<SitesInput, 'cutterCode'> & {
    intake: readonly IntakeRow[];
    rejects: readonly Reject[];
    codeKey: string;
  },
): Promise<Map<string, string>> => {
  const files = new Map<string, string>();
  for (const [name, text] of results(input)) files.set(`results/${name}`, text);
  const sites = await renderSites({ ...input, cutterCode: (cutter) => keyedCode(input.codeKey, cutter) });
  for (const [name, text] of sites) files.set(`published/${name}`, text);
  return files;
};
