import type { IntakeRow, Reject } from '../ingest/ingested.ts';
import type { RepairRow } from '../review/reviewed.ts';
import { keyedCode } from '../system/keyedCode.ts';
import { results } from './results/results.ts';
import { renderSites } from './site.tsx';
import type { SitesInput } from './sitesInput.ts';

/**
 * Everything one release holds, as file texts by path: results/, published/<bundle>/, and pages.json with the digest of
 * the night and the hash of each page's data, by which the next night knows what it need not write again. No clock in any byte.
 */
export const publish = async (
  input: Omit<SitesInput, 'cutterCode'> & {
    intake: readonly IntakeRow[];
    rejects: readonly Reject[];
    repairs: readonly RepairRow[];
    codeKey: string;
  },
): Promise<Map<string, string>> => {
  const files = new Map<string, string>();
  for (const [name, text] of results(input)) files.set(`results/${name}`, text);
  const sites = await renderSites({ ...input, cutterCode: (cutter) => keyedCode(input.codeKey, cutter) });
  for (const [name, text] of sites.files) files.set(`published/${name}`, text);
  files.set(
    'pages.json',
    `${JSON.stringify({ program: input.client.program, night: sites.night, paths: [...sites.files.keys()], pages: sites.hashes })}\n`,
  );
  return files;
};
