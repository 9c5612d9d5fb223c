import type { MeasuredTest } from '../../measure/measured.ts';
import type { PredictedOutcome, WeightModel } from '../../model/modeled.ts';
import { remembered } from '../../tables/remembered.ts';
import { type BoughtTests, ringed } from './boughtTests.ts';
import { type Boxes, boxesOf, meanPieceKg } from './boxes.ts';
import { meanRow } from './meanRow.ts';
import { missingFor } from './missingFor.ts';
import { type Offer, type OfferBasis, type OfferName, perDrained } from './offer.ts';
import type { Losses, OfferSource } from './offerSource.ts';

const widestShare = 0.1;

/** Values any offer by name; each is valued once. */
export const offerValuer = (source: OfferSource): ((name: OfferName) => Offer) => {
  const offers = new Map<string, Offer>();
  return (name) =>
    remembered(offers, JSON.stringify(Object.values(namedOnly(name))), () => valued(namedOnly(name), source));
};

const namedOnly = ({ supplier, item, spec, grade, weightClass, state }: OfferName): OfferName => ({
  supplier,
  item,
  spec,
  grade,
  weightClass,
  state,
});

const valued = (name: OfferName, source: OfferSource): Offer => {
  const { chain } = source;
  const bought = source.testsOf(name);
  const lost = source.lossesOf(name);
  const boxes = boxesOf(name, bought.tests);
  const isOwn = (test: MeasuredTest): boolean =>
    test.grade === name.grade && test.weightClass === name.weightClass;
  const facts = {
    ...name,
    tests: bought.tests.filter(isOwn).length,
    boxes: boxes.tests.length,
    method: bought.method,
    ...lost,
    ...laborOf(name, bought),
  };
  const model = source.modelOf(name);
  const inside = boxes.tests.filter(
    (test) => model !== undefined && test.meanPieceKg >= model.lowKg && test.meanPieceKg <= model.highKg,
  );
  const missing = missingFor(name, { bought, model, boxes: boxes.tests, inside, chain });
  if (model === undefined || missing.missing !== '') return { ...facts, ...unknown, assumed: '', ...missing };
  return { ...facts, ...worthOf(name, { model, boxes, bought, lost }) };
};

type Seen = { model: WeightModel; boxes: Boxes; bought: BoughtTests; lost: Losses };

const worthOf = (
  name: OfferName,
  { model, boxes, bought, lost }: Seen,
): Omit<
  Offer,
  keyof OfferName | keyof Losses | 'tests' | 'boxes' | 'method' | 'labor' | 'laborSd' | 'hours'
> => {
  const basis = basisOf(name, { model, boxes });
  const of = (outcome: PredictedOutcome) => perBilled(perDrained(basis, outcome), lost);
  const [value, saleable, mainCut] = [of('value'), of('saleable'), of('main_cut')];
  if (!(value.sd < widestShare * value.mean))
    return {
      ...unknown,
      assumed: '',
      missing: 'the value is not known to within 20 %; more tests are needed',
      remedy: '',
    };
  return {
    pieceKg: meanPieceKg(boxes.tests),
    value: value.mean,
    valueSd: value.sd,
    saleable: saleable.mean,
    saleableSd: saleable.sd,
    mainCut: mainCut.mean,
    mainCutSd: mainCut.sd,
    credit: lost.usable.value * bought.credit,
    assumed: assumedFor(name, lost.usable.ring, bought),
    missing: '',
    remedy: '',
    basis,
  };
};

/** A figure per drained kg as one per billed kg, with its standard error: what is lost in the bag is not known for sure. */
export const perBilled = (
  { mean, variance }: { mean: number; variance: number },
  { usable }: Losses,
): { mean: number; sd: number } => {
  const bags = Number.isNaN(usable.sd) ? 0 : usable.sd ** 2;
  return {
    mean: usable.value * mean,
    sd: Math.sqrt(usable.value ** 2 * variance + mean ** 2 * bags),
  };
};

const unknown = {
  pieceKg: Number.NaN,
  value: Number.NaN,
  valueSd: Number.NaN,
  saleable: Number.NaN,
  saleableSd: Number.NaN,
  mainCut: Number.NaN,
  mainCutSd: Number.NaN,
  credit: Number.NaN,
  basis: undefined,
};

/** Labor per billed kg of the method most used, from the range's own tests where 8 tell their minutes. */
const laborOf = (name: OfferName, { ofMethod }: BoughtTests): Pick<Offer, 'labor' | 'laborSd' | 'hours'> => {
  const rings = [
    ['range', () => ofMethod.filter((test) => test.weightClass === name.weightClass)],
    ['item', () => ofMethod],
  ] as const;
  const labor = ringed(
    rings,
    (test) => test.laborCost,
    (test) => test.billedFilledKg,
  );
  const minutes = ringed(
    rings,
    (test) => test.minutes,
    (test) => test.billedFilledKg,
  );
  return { labor: labor.value, laborSd: labor.sd, hours: minutes.value / 60 };
};

/** Mean design row of the boxes, by weight, for the supplier. */
const basisOf = (name: OfferName, { model, boxes }: { model: WeightModel; boxes: Boxes }): OfferBasis => {
  // pieces beyond the weights seen count as those at the edge: left out, they would pull the range's mean inwards
  const { row, pulls } = meanRow(boxes.tests, (pieceKg) =>
    model.row(name.grade, Math.min(model.highKg, Math.max(model.lowKg, pieceKg)), name.supplier),
  );
  return {
    model,
    row,
    pulls,
    boxes: JSON.stringify([name.weightClass, boxes.owner]),
    isUnseen: isUnseen(name, model),
  };
};

/** Whether a supplier is named that has no tests of the item. */
export const isUnseen = ({ supplier }: OfferName, { suppliers }: WeightModel): boolean =>
  supplier !== '' && !suppliers.includes(supplier);

const assumedFor = (name: OfferName, ring: string, bought: BoughtTests): string => {
  const own = bought.tests.filter((test) => test.supplier === name.supplier).length;
  const parts = [
    ...(own === 0 ? ['yield of an average supplier'] : []),
    ...(ring === '' ? ['no purge or short weight, as fewer than 8 sheets tell them'] : []),
    ...(ring === '' || ring.startsWith(name.supplier) ? [] : [`purge and short weight as for ${ring}`]),
  ];
  return parts.join('; ');
};
