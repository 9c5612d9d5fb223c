import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import type { ModeledNight, WeightModel } from '../../model/modeled.ts';
import { remembered } from '../../tables/remembered.ts';
import { type BoughtTests, boughtTests, ringed, testKey } from './boughtTests.ts';
import type { Offer, OfferName } from './offer.ts';

export type OfferInput = {
  used: readonly MeasuredTest[];
  outputs: readonly MeasuredOutput[];
  modeled: Pick<ModeledNight, 'weightModels'>;
  chain: Chain;
};

/** Share of billed weight that reaches the block, and where the rest went. */
export type Losses = Pick<Offer, 'usable' | 'purgeShare' | 'shortShare'>;

/** What offers are valued from; what is asked of an item, spec and state, or of a supplier, is gathered once. */
export type OfferSource = {
  chain: Chain;
  testsOf: (name: OfferName) => BoughtTests;
  lossesOf: (name: OfferName) => Losses;
  /** The curve with the most tests among the treatments bought; undefined when there is none. */
  modelOf: (name: OfferName) => WeightModel | undefined;
};

/** Gathers from a night what offers need. */
export const offerSource = ({ used, outputs, modeled, chain }: OfferInput): OfferSource => {
  const linesOf = linesByTest(outputs);
  const bought = new Map<string, BoughtTests>();
  const losses = new Map<string, Losses>();
  const itemOf = (name: OfferName): string => JSON.stringify([name.item, name.spec, name.state]);
  const testsOf = (name: OfferName): BoughtTests =>
    remembered(bought, itemOf(name), () => boughtTests(used, linesOf, name, chain));
  return {
    chain,
    testsOf,
    lossesOf: (name) =>
      remembered(losses, `${itemOf(name)}${name.supplier}`, () => lossesOf(name, testsOf(name).tests, used)),
    modelOf: (name) => {
      const treatments = new Set(testsOf(name).tests.map((test) => test.treatment));
      return modeled.weightModels
        .filter((one) => one.item === name.item && one.spec === name.spec && treatments.has(one.treatment))
        .sort((a, b) => b.tests - a.tests)[0];
    },
  };
};

const linesByTest = (outputs: readonly MeasuredOutput[]): Map<string, MeasuredOutput[]> => {
  const found = new Map<string, MeasuredOutput[]>();
  for (const line of outputs) remembered(found, testKey(line), () => []).push(line);
  return found;
};

/** The supplier's own bags where 8 are known, of this item first; else, and for no supplier named, like bags. */
const lossesOf = (name: OfferName, tests: readonly MeasuredTest[], all: readonly MeasuredTest[]): Losses => {
  const own = (list: readonly MeasuredTest[]): MeasuredTest[] =>
    list.filter((test) => test.supplier === name.supplier);
  const whatever = `${name.item} ${name.spec}`.trim();
  const rings: [string, () => readonly MeasuredTest[]][] = [
    [`${name.supplier}, ${whatever}`, () => own(tests)],
    [name.supplier, () => own(all)],
    [whatever, () => tests],
    ['all items', () => all],
  ];
  if (name.supplier === '') rings.splice(0, 2);
  // where the invoice is not on the sheet, what was weighed in with its purge stands for it
  const billed = (test: MeasuredTest): number =>
    Number.isNaN(test.billedKg) && Number.isNaN(test.purgeKg) ? Number.NaN : test.billedFilledKg;
  const usable = ringed(rings, (test) => test.drainedKg, billed);
  // a chain whose sheets tell neither invoice nor purge: what is billed is what was weighed (see massBalance)
  return {
    usable: Number.isNaN(usable.value) ? { value: 1, sd: 0, tests: 0, ring: '' } : usable,
    purgeShare: ringed(rings, (test) => test.purgeKg, billed).value,
    shortShare: ringed(rings, (test) => test.shortKg, billed).value,
  };
};
