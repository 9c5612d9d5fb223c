import type { IntakeRow, Reject } from '../ingest/ingested.ts';
import type { RepairRow } from '../review/reviewed.ts';
import { keyedCode } from '../system/keyedCode.ts';
import { fileHash, type ReleaseFile } from './releaseFile.ts';
import { results } from './results/results.ts';
import { renderSites } from './site.tsx';
import type { PageCount, SitesInput } from './sitesInput.ts';

/** Files by their path in the release, and how many pages were drawn for them. */
export type Published = { files: Map<string, ReleaseFile>; pages: PageCount };

/** Everything one release holds: results/ and what `publishedSites` gives. No clock in any byte. */
export const publish = async (
  input: Omit<SitesInput, 'cutterCode'> & {
    intake: readonly IntakeRow[];
    rejects: readonly Reject[];
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

/**
 * published/<bundle>/, and pages.json with the digest of the night and the hash of each page's data, by which the next night
 * knows what it need not draw again, and the hash of each file, by which it need not read what it takes over.
 */
export const publishedSites = async (input: SitesInput): Promise<Published> => {
  const { night, files, hashes, pages } = await renderSites(input);
  const index = {
    program: input.client.program,
    night,
    files: Object.fromEntries([...files].map(([name, file]) => [name, fileHash(file)])),
    pages: hashes,
  };
  return {
    files: new Map<string, ReleaseFile>([
      ...[...files].map(([name, file]) => [`published/${name}`, file] as const),
      ['pages.json', `${JSON.stringify(index)}\n`],
    ]),
    pages,
  };
};
