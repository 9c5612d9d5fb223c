import { fileHash, type ReleaseFile } from './releaseFile.ts';
import { renderSites } from './site.tsx';
import type { PageCount, SitesInput } from './sitesInput.ts';

/** Files by their path in the release, and how many pages were drawn for them. */
export type Published = { files: Map<string, ReleaseFile>; pages: PageCount };

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
