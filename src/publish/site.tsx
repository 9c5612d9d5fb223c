import { buyerPages } from './pages/buyerPages.tsx';
import { directorPages } from './pages/directorPages.tsx';
import { peopleFree } from './pages/peopleFree.ts';
import { styleSheet } from './pages/styleSheet.ts';
import { trainerPages } from './pages/trainerPages.tsx';
import type { SitesInput } from './sitesInput.ts';

/** The three bundles as file texts by relative path. Director and buyer are made from tables without people alone. */
export const renderSites = async (input: SitesInput): Promise<Map<string, string>> => {
  const without = peopleFree(input);
  const bundles = {
    director: await directorPages(without),
    buyer: await buyerPages(without),
    trainer: await trainerPages(input, { asOf: without.asOf, reported: without.reported }),
  };
  const files = new Map<string, string>();
  for (const [bundle, pages] of Object.entries(bundles)) {
    files.set(`${bundle}/style.css`, styleSheet);
    for (const [name, text] of pages) files.set(`${bundle}/${name}`, text);
  }
  return files;
};
