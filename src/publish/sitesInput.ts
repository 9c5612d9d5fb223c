import type { Chain } from '../catalog/chain.ts';
import type { FoundNight } from '../findings/found.ts';
import type { IntakeRow, Reject } from '../ingest/ingested.ts';
import type { MeasuredNight } from '../measure/measured.ts';
import type { ModeledNight } from '../model/modeled.ts';
import type { ReferenceTables } from '../normalize/normalized.ts';
import type { KeptFile } from './releaseFile.ts';

/** All that the three sites are made from; cutterCode gives the code under which a cutter appears. */
export type SitesInput = {
  chain: Chain;
  asOfDay: number;
  measured: MeasuredNight;
  reference: ReferenceTables;
  /** What became of every file, and every fault that is still open. */
  intake: readonly IntakeRow[];
  rejects: readonly Reject[];
  modeled: ModeledNight;
  found: FoundNight;
  cutterCode: (cutter: string) => string;
  client: ClientFiles;
  previous?: PreviousPages | undefined;
  /** Told after each page, so that a long build can be followed. */
  onPage?: ((count: PageCount) => void) | undefined;
};

/** Pages drawn so far, pages taken over from the release in force, and how many there are in all. */
export type PageCount = { drawn: number; takenOver: number; of: number };

/** The scripts of every bundle as bundled at build, and a hash of the whole program ('' when it was not built). */
export type ClientFiles = { page: string; runtime: string; program: string };

/** The files of the current release's sites and the hash of each page's data. Only of the same program. */
export type PreviousPages = {
  /** Digest of the night they were made from. */
  night: string;
  paths: readonly string[];
  hashOf: (path: string) => string | undefined;
  fileOf: (path: string) => KeptFile;
};
