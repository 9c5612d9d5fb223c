import { contentHash } from '../system/contentHash.ts';
import { browserCharts } from './charts/browserCharts.ts';
import { nightDigest } from './nightDigest.ts';
import type { PagePlan } from './pagePlan.ts';
import { buyerPages } from './pages/buyerPages.tsx';
import { directorPages } from './pages/directorPages.tsx';
import { buyerFinds, directorFinds, type Find } from './pages/finds.ts';
import { type PeopleFree, peopleFree } from './pages/peopleFree.ts';
import { scriptJson } from './pages/scriptJson.ts';
import { styleSheet } from './pages/styleSheet.ts';
import { trainerPages } from './pages/trainerPages.tsx';
import type { ReleaseFile } from './releaseFile.ts';
import type { PageCount, PreviousPages, SitesInput } from './sitesInput.ts';

export type Sites = {
  /** Digest of the night all of it was made from. */
  night: string;
  /** Files by relative path, `<bundle>/<file>`: those written anew as texts. */
  files: Map<string, ReleaseFile>;
  /** Hash of the data of each page, to use the page again when nothing changed. */
  hashes: Record<string, string>;
  pages: PageCount;
};

/**
 * The three bundles. Director and buyer are made from tables without people alone. A night that is the same to the last digit
 * takes everything over; else pages are written again where their data changed.
 */
export const renderSites = async (input: SitesInput): Promise<Sites> => {
  const { previous } = input;
  const night = nightDigest(input);
  if (previous?.night === night) {
    const same = takenOver(night, previous);
    input.onPage?.(same.pages);
    return same;
  }
  const without = peopleFree(input);
  const trainer = trainerPages(input, without);
  const bundles: [string, PagePlan[], Find[]][] = [
    ['director', directorPages(without), directorFinds(without)],
    ['buyer', buyerPages(without), buyerFinds(without)],
    ['trainer', trainer.plans, trainer.finds],
  ];
  const of = bundles.reduce((sum, [, plans]) => sum + plans.length, 0);
  const sites: Sites = { night, files: new Map(), hashes: {}, pages: { drawn: 0, takenOver: 0, of } };
  const setting = contentHash(JSON.stringify([input.chain, without.stores.map(({ name }) => name)]));
  for (const [bundle, plans, finds] of bundles) {
    sites.files.set(`${bundle}/style.css`, styleSheet);
    sites.files.set(`${bundle}/page.js`, input.client.page);
    sites.files.set(`${bundle}/night.js`, nightScript(without, finds));
    for (const { path, data, render } of plans) {
      await addPage(sites, { path: `${bundle}/${path}`, data: [setting, data], render }, previous);
      input.onPage?.({ ...sites.pages });
    }
  }
  sites.files.set('trainer/charts.js', `window.deckleCharts=${scriptJson(browserCharts())};\n`);
  sites.files.set('trainer/runtime.js', input.client.runtime);
  return sites;
};

const takenOver = (night: string, previous: PreviousPages): Sites => {
  const hashes = previous.paths.flatMap((path) => {
    const hash = previous.hashOf(path);
    return hash === undefined ? [] : [[path, hash] as const];
  });
  return {
    night,
    files: new Map(previous.paths.map((path) => [path, previous.fileOf(path)])),
    hashes: Object.fromEntries(hashes),
    pages: { drawn: 0, takenOver: hashes.length, of: hashes.length },
  };
};

const nightScript = ({ asOf, reported, chain }: PeopleFree, finds: readonly Find[]): string =>
  `window.deckleNight=${scriptJson({ dataTo: asOf, reported, staleAfterDays: chain.freshness.expect_every_days, finds })};\n`;

const addPage = async (
  sites: Sites,
  { path, data, render }: PagePlan,
  previous: PreviousPages | undefined,
): Promise<void> => {
  const hash = contentHash(JSON.stringify(data)).slice(0, 16);
  sites.hashes[path] = hash;
  if (previous?.hashOf(path) === hash) {
    sites.files.set(path, previous.fileOf(path));
    sites.pages.takenOver++;
    return;
  }
  sites.files.set(path, await render());
  sites.pages.drawn++;
};
