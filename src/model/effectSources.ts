import { outcomes } from '../catalog/outcomes.ts';
import type { ClassPrices } from './closeEffects.ts';
import type { EffectSource } from './effectRows.ts';
import type { LevelEstimate } from './levelEstimates.ts';
import type { EffectKind } from './modeled.ts';
import { type TestFacts, unsoldItems } from './testFacts.ts';
import type { YieldGroup } from './yieldGroups.ts';

/** Residuals with supplier and delivery put back and store and cutter taken out, points: what suppliers are compared on. */
export const withSupplier = (
  residual: Float64Array,
  k: number,
  {
    groups,
    effects,
  }: { groups: readonly YieldGroup[]; effects: readonly { store: Float64Array; cutter: Float64Array }[] },
): Float64Array => {
  const { store, cutter } = effects[k] as { store: Float64Array; cutter: Float64Array };
  const left = residual.map((value, i) => 100 * (value - (store[i] as number) - (cutter[i] as number)));
  for (const { rows, problem, fit } of groups) {
    const own = fit?.fits[k];
    if (own === undefined) continue;
    const { codes, blup } = own.supplier;
    const blupOf = new Map(codes.map((code, place) => [code, blup[place] as number]));
    for (const [place, i] of rows.entries()) {
      const supplier = blupOf.get(problem.supplier[place] as number) ?? 0;
      const delivery = own.delivery[problem.delivery[place] as number] ?? 0;
      left[i] = (left[i] as number) + 100 * (supplier + delivery);
    }
  }
  return left;
};

/** What one kind of effect rows is made of. `converged`: by outcome, whether the people's effects settled. */
export const effectSource = (
  kind: EffectKind,
  codes: Int32Array,
  names: EffectSource['names'],
  at: {
    facts: TestFacts;
    expected: Float64Array[];
    groups: readonly YieldGroup[];
    prices: { of: (item: string) => ClassPrices };
    effectPoints: number;
    converged: readonly boolean[];
    estimates: LevelEstimate[][];
  },
): EffectSource => {
  const unsold = unsoldItems(at.facts);
  const item = at.facts.text('item');
  const doubtful = new Set(
    at.groups.flatMap((group) =>
      (group.fit?.fits ?? []).flatMap((own, k) =>
        own?.status === 'not-converged' ? [`${item[group.rows[0] as number]} ${k}`] : [],
      ),
    ),
  );
  return {
    kind,
    codes,
    names,
    estimates: at.estimates,
    actual: at.facts.actual,
    expected: at.expected,
    isSoldWhole: (name) => (name === '' ? unsold.size === 0 : !unsold.has(name)),
    pricesOf: at.prices.of,
    effectPoints: at.effectPoints,
    status: (name, outcome) => {
      const k = outcomes.indexOf(outcome);
      return at.converged[k] === false || doubtful.has(`${name} ${k}`) ? 'not-converged' : 'ok';
    },
  };
};
