import type { Chain } from '../../catalog/chain.ts';
import { itemEntry } from '../../catalog/itemEntry.ts';
import { itemNames } from '../../catalog/itemNames.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import type { WeightModel } from '../../model/modeled.ts';
import { countedTests } from '../../units/counted.ts';
import { type BoughtTests, fewestTests } from './boughtTests.ts';
import type { OfferName } from './offer.ts';

type Found = {
  bought: BoughtTests;
  model: WeightModel | undefined;
  boxes: readonly MeasuredTest[];
  inside: readonly MeasuredTest[];
  chain: Chain;
};

/** Why an offer cannot be valued: what is missing, for every reader, and what whoever runs the night can enter; '' = nothing. */
export type Missing = { missing: string; remedy: string };

/** What an offer misses to be valued; both '' when nothing. */
export const missingFor = (name: OfferName, found: Found): Missing => {
  const { chain, bought } = found;
  if (itemEntry(chain, name)?.weight_classes.some((range) => range.name === name.weightClass) !== true)
    return {
      missing: `the range ${name.weightClass} is not among the item’s weight classes`,
      remedy: `add it to weight_classes of ${name.item} in chain.yaml`,
    };
  const tests = missingTests(name, found);
  const unpriced = unpricedText(bought);
  if (tests === '' && unpriced !== '')
    return { missing: unpriced, remedy: 'enter their prices in reference/prices.csv' };
  return { missing: tests || missingCurve(name, found), remedy: '' };
};

const whatOf = (name: OfferName, chain: Chain): string =>
  `${itemNames(chain)(name.item)} ${name.spec}`.trim();

const missingTests = (name: OfferName, { bought, boxes, chain }: Found): string => {
  if (bought.tests.length === 0)
    return name.state === 'frozen'
      ? `no tests of thawed pieces of ${whatOf(name, chain)}; frozen pieces are not judged by fresh ones`
      : `no tests of ${whatOf(name, chain)}`;
  const graded = bought.tests.filter((test) => test.grade === name.grade).length;
  if (graded < fewestTests)
    return `${countedTests(graded)} of grade ${name.grade}; ${fewestTests} are needed`;
  return boxes.length < fewestTests
    ? `${countedTests(boxes.length)} of pieces of ${name.weightClass}; ${fewestTests} are needed`
    : '';
};

/** Saleable outputs without a regular price, named; '' when all have one. */
export const unpricedText = ({ unpriced }: BoughtTests): string =>
  unpriced.length === 0 ? '' : `no regular price in force for ${unpriced.join(', ')}`;

const missingCurve = (name: OfferName, { model, boxes, inside, chain }: Found): string => {
  if (model?.outcomes.value === undefined || model.outcomes.saleable === undefined)
    return `too few tests of ${whatOf(name, chain)} to fit yield over weight`;
  return inside.length < boxes.length / 2
    ? `pieces of ${name.weightClass} lie outside the weights seen (2-98 % of tests)`
    : '';
};
