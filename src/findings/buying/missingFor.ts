import type { Chain } from '../../catalog/chain.ts';
import { itemEntry } from '../../catalog/itemEntry.ts';
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

/** Why an offer cannot be valued, in words that say what is missing; '' when it can. */
export const missingFor = (name: OfferName, found: Found): string =>
  missingTests(name, found) || unpricedText(found.bought) || missingCurve(name, found);

const whatOf = (name: OfferName): string => `${name.item} ${name.spec}`.trim();

const missingTests = (name: OfferName, { bought, boxes, chain }: Found): string => {
  if (itemEntry(chain, name)?.weight_classes.some((range) => range.name === name.weightClass) !== true)
    return `the range ${name.weightClass} is not among the weight classes of ${whatOf(name)} in chain.yaml`;
  if (bought.tests.length === 0)
    return name.state === 'frozen'
      ? `no tests of thawed pieces of ${whatOf(name)}; frozen pieces are not judged by fresh ones`
      : `no tests of ${whatOf(name)}`;
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

const missingCurve = (name: OfferName, { model, boxes, inside }: Found): string => {
  if (model?.outcomes.value === undefined || model.outcomes.saleable === undefined)
    return `too few tests of ${whatOf(name)} to fit yield over weight`;
  return inside.length < boxes.length / 2
    ? `pieces of ${name.weightClass} lie outside the weights seen (2-98 % of tests)`
    : '';
};
