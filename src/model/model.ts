import { outcomes } from '../catalog/outcomes.ts';
import type { MeasuredNight } from '../measure/measured.ts';
import { codesOf } from '../tables/columns.ts';
import { weightFits } from './buyingModels.ts';
import { classPrices } from './classPrices.ts';
import { effectRows } from './effectRows.ts';
import { effectSource, withSupplier } from './effectSources.ts';
import { expectedTable } from './expectedTable.ts';
import { expectedTerms } from './expectedTerms.ts';
import { fairEffects, type PeopleCodes } from './fairEffects.ts';
import { groupedTails } from './groupedTails.ts';
import type { EffectKind, ModeledNight } from './modeled.ts';
import { peopleCodes, testEffects } from './peopleCodes.ts';
import { supplierEstimates } from './supplierEstimates.ts';
import { codesOrMissing, factsOf, unsoldItems, usedRows } from './testFacts.ts';
import { typicalCenters } from './typicalCenters.ts';
import { type FitAll, fitHere } from './yieldFit.ts';
import { deliveriesOf, fillGroup, fitGroups } from './yieldGroups.ts';

/** `effectPoints`: the size of a difference worth showing. `fitAll`: where items are fitted; in this thread if not given. */
export type ModelSettings = { effectPoints: number; fitAll?: FitAll | undefined };

/**
 * What each used test should have yielded in an average store by an average cutter, and how far each supplier, store and
 * cutter is from it. Per item, spec and treatment a robust mixed model (yieldFit); then the people's and rooms' shares of
 * what is left, over all items at once (fairEffects), closed so that class effects add to 0.
 */
export const model = async (measured: MeasuredNight, settings: ModelSettings): Promise<ModeledNight> => {
  const used = measured.tests.reify(usedRows(measured.tests));
  const facts = factsOf(used);
  const suppliers = codesOrMissing(facts.text('supplier'));
  const groups = await fitGroups(facts, suppliers.codes, settings.fitAll ?? fitHere);
  const expected = outcomes.map(() => new Float64Array(facts.n));
  const sd = outcomes.map(() => new Float64Array(facts.n));
  for (const group of groups) fillGroup(group, { expected, sd });
  const people = peopleCodes(facts);
  const items = codesOf(facts.text('item'));
  const item = { codes: items.codes, levels: items.levels.length };
  const found = differences(facts.actual, expected).map((values, k) =>
    fairEffects(points(values), points(sd[k] as Float64Array), { people: people.codes, item }),
  );
  const prices = classPrices(measured.outputs, used);
  const centers = typicalCenters(found, items.levels, { pricesOf: prices.of, unsold: unsoldItems(facts) });
  for (const [k, values] of expected.entries())
    for (const [i, code] of item.codes.entries())
      values[i] = (values[i] as number) + ((centers[code] as number[])[k] as number);
  const residual = differences(facts.actual, expected);
  const effects = found.map((own) => testEffects(own, people.codes));
  const shared = { facts, expected, groups, prices, effectPoints: settings.effectPoints };
  const converged = found.map((one) => one.converged);
  const clusters = {
    group: suppliers.codes,
    inner: deliveriesOf(groups, facts.n),
    crossed: codesOf(facts.text('store')).codes,
  };
  const suppliersFound = supplierEstimates(
    residual.map((values, k) => withSupplier(values, k, { groups, effects })),
    sd.map(points),
    clusters,
    suppliers.levels.length,
  );
  return {
    expected: expectedTable(used, {
      expected,
      residual,
      sd,
      effects,
      tails: groupedTails(groups, expected, effects),
    }),
    effects: [
      ...effectRows(
        effectSource('supplier', suppliers.codes, suppliers.levels.map(nameOnly), {
          ...shared,
          converged: [],
          estimates: suppliersFound,
        }),
      ),
      ...kinds.flatMap(([kind, key]) =>
        effectRows(
          effectSource(kind, people.codes[key].codes, people.names[key], {
            ...shared,
            converged,
            estimates: found.map((one) => one[key]),
          }),
        ),
      ),
    ],
    ...weightFits(groups, facts, suppliers.levels),
    classPrices: prices.rows,
    termsOf: expectedTerms(groups, facts, (i) => centers[item.codes[i] as number] as number[]),
    adjustedFor,
  };
};

const kinds: readonly [EffectKind, keyof PeopleCodes][] = [
  ['store-item', 'storeItem'],
  ['store', 'store'],
  ['cutter-item', 'cutterItem'],
  ['cutter', 'cutter'],
];

const differences = (actual: readonly Float64Array[], expected: readonly Float64Array[]): Float64Array[] =>
  actual.map((values, k) => values.map((value, i) => value - ((expected[k] as Float64Array)[i] as number)));

const points = (values: Float64Array): Float64Array => values.map((value) => value * 100);

const nameOnly = (id: string) => ({ id, store: '', item: '' });

const adjustedFor = [
  'item, spec and treatment',
  'method',
  'grade',
  'weight of the piece',
  'month',
  'supplier and delivery',
  'store',
];
