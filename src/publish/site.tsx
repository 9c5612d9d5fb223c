import type { Chain } from '../catalog/chain.ts';
import type { FoundNight } from '../findings/found.ts';
import type { MeasuredNight } from '../measure/measured.ts';
import type { ModeledNight } from '../model/modeled.ts';
import type { ReferenceTables } from '../normalize/normalized.ts';
import { buyerPages } from './pages/buyerPages.tsx';
import { directorPages } from './pages/directorPages.tsx';
import { peopleFree } from './pages/peopleFree.ts';
import { styleSheet } from './pages/styleSheet.ts';
import { trainerPages } from './pages/trainerPages.tsx';

export type SitesInput = { chain: Chain; asOfDay: number; measured: MeasuredNight; reference: ReferenceTables; modeled: ModeledNight; found: FoundNight; cutterCode: (cutter: string) => string };

/** The three bundles as file texts by relative path. Director and buyer are made from tables without people alone. */
export const renderSites = async (input: SitesInput): Promise<Map<string, string>> => {
  const without = peopleFree(input);
  const bundles = { director: await directorPages(without), buyer: await buyerPages(without), trainer: await trainerPages(input, { asOf: without.asOf, reported: without.reported }) };
  const files = new Map<string, string>();
  for (const [bundle, pages] of Object.entries(bundles)) {
    files.set(`${bundle}/style.css`, styleSheet);
    for (const [name, text] of pages) files.set(`${bundle}/${name}`, text);
  }
  return files;
};
