import { outcomes } from '../catalog/outcomes.ts';
import { remembered } from '../tables/remembered.ts';
import type { ExpectedTerm, ModeledNight } from './modeled.ts';
import { nul, type TestFacts } from './testFacts.ts';
import { type YieldDesign, yieldDesign } from './yieldDesign.ts';
import { termsOf } from './yieldFit.ts';
import type { YieldGroup } from './yieldGroups.ts';

/** Looks up a test and builds its expected yield term by term. */
export const expectedTerms = (
  groups: readonly YieldGroup[],
  facts: TestFacts,
  centersOf: (i: number) => readonly number[],
): ModeledNight['termsOf'] => {
  const placeOf = new Map<string, { group: YieldGroup; place: number }>();
  const built = new Map<object, ReturnType<typeof termsOf>>();
  const designs = new Map<YieldGroup, YieldDesign>();
  return (store, testId, outcome) => {
    if (placeOf.size === 0) {
      const names = facts.join('store', 'testId');
      for (const group of groups)
        for (const [place, i] of group.rows.entries()) placeOf.set(names[i] as string, { group, place });
    }
    const found = placeOf.get(`${store}${nul}${testId}`);
    const k = outcomes.indexOf(outcome);
    const fit = found?.group.fit?.fits[k];
    if (found === undefined || fit === undefined) return [];
    const scale = outcome === 'value' ? 1 : 100;
    const { problem } = found.group;
    const design = remembered(designs, found.group, () => yieldDesign(problem));
    const own = remembered(built, fit, () => termsOf(problem, design, fit));
    const terms: ExpectedTerm[] = [...own].map(([term, values]) => ({
      term,
      size: scale * (values[found.place] as number),
    }));
    const closing =
      (found.group.fit?.closing[k]?.[found.place] ?? 0) +
      (centersOf(found.group.rows[found.place] as number)[k] as number);
    return [...terms, { term: 'closing', size: scale * closing }];
  };
};
