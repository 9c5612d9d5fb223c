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
};
