import type { Chain } from '../catalog/chain.ts';
import type { FoundNight } from '../findings/found.ts';
import type { MeasuredNight } from '../measure/measured.ts';
import type { ModeledNight } from '../model/modeled.ts';
import type { ReferenceTables } from '../normalize/normalized.ts';

/** All that the three sites are made from; cutterCode gives the code under which a cutter appears. */
export type SitesInput = {
  chain: Chain;
  asOfDay: number;
  measured: MeasuredNight;
  reference: ReferenceTables;
  modeled: ModeledNight;
  found: FoundNight;
  cutterCode: (cutter: string) => string;
  client: ClientFiles;
  previous?: PreviousPages | undefined;
};

/** The scripts of every bundle as bundled at build, and a hash of the whole program ('' when it was not built). */
export type ClientFiles = { page: string; runtime: string; program: string };

/** The files of the current release's sites: the hash of each page's data, and their texts. Only of the same program. */
export type PreviousPages = {
  /** Digest of the night they were made from. */
  night: string;
  paths: readonly string[];
  hashOf: (path: string) => string | undefined;
  textOf: (path: string) => string;
};
