import type { MeasuredTest } from '../measure/measured.ts';
import type { FindingRow } from './found.ts';
import { findingId } from './habitFinding.ts';

/** Cutters who are the only one in every store that they cut in: nobody can tell them from their room. */
export const loneCutters = (used: readonly MeasuredTest[]): ReadonlySet<string> => {
  const first = new Map<string, string>();
  const shared = new Set<string>();
  for (const { store, cutter } of used) {
    const known = first.get(store);
    if (known === undefined) first.set(store, cutter);
    else if (known !== cutter) shared.add(store);
  }
  const amongOthers = new Set(used.filter(({ store }) => shared.has(store)).map(({ cutter }) => cutter));
  return new Set([...first.values()].filter((cutter) => !amongOthers.has(cutter)));
};

/** A lone cutter's finding told of the store: it neither blames nor clears the person. */
export const aboutStore = (finding: FindingRow): FindingRow => ({
  ...finding,
  findingId: findingId(finding.kind, finding.store, '', finding.item),
  cutter: '',
  headline: ofStore(finding.headline, finding),
  about: ofStore(finding.about, finding),
  comparedWith:
    'other stores and their cutters; one cutter works here, so that person and room cannot be told apart',
});

const ofStore = (text: string, { cutter, store }: FindingRow): string =>
  text.replace(cutter, () => `Store ${store} (one cutter, so that person and room cannot be told apart)`);
