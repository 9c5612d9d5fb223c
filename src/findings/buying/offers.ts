import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import type { ModeledNight, PredictedOutcome, WeightModel } from '../../model/modeled.ts';
import { type BoughtTests, boughtTests, ringed, testKey } from './boughtTests.ts';
import { type Boxes, boxesOf, meanPieceKg, meanRow } from './boxes.ts';
import { missingFor } from './missingFor.ts';
import { type Offer, type OfferBasis, type OfferName, perDrained } from './offer.ts';

export type OfferInput = {
  used: readonly MeasuredTest[];
  outputs: readonly MeasuredOutput[];
  modeled: Pick<ModeledNight, 'weightModels' | 'supplierItems'>;
  chain: Chain;
};

const widestShare = 0.1;

/** Values any offer by name; what it needs of an item, spec and state, or of a supplier, is gathered once. */
export const offerValuer = (input: OfferInput): ((name: OfferName) => Offer) => {
  const linesOf = linesByTest(input.outputs);
  const bought = new Map<string, BoughtTests>();
  const losses = new Map<string, Losses>();
  const offers = new Map<string, Offer>();
  return (name) => {
    const item = JSON.stringify([name.item, name.spec, name.state]);
    const tests = remembered(bought, item, () => boughtTests(input.used, linesOf, name, input.chain));
    const lost = remembered(losses, `${item}${name.supplier}`, () => lossesOf(name, tests.tests, input.used));
    return remembered(offers, `${item}${JSON.stringify([name.supplier, name.grade, name.weightClass])}`, () =>
      valued(namedOnly(name), tests, { input, lost }),
    );
  };
};

const linesByTest = (outputs: readonly MeasuredOutput[]): Map<string, MeasuredOutput[]> => {
  const found = new Map<string, MeasuredOutput[]>();
  for (const line of outputs) remembered(found, testKey(line), () => []).push(line);
  return found;
};

const remembered = <Value>(known: Map<string, Value>, key: string, find: () => Value): Value => {
  const found = known.get(key) ?? find();
  known.set(key, found);
  return found;
};

const namedOnly = ({ supplier, item, spec, grade, weightClass, state }: OfferName): OfferName => ({
  supplier,
  item,
  spec,
  grade,
  weightClass,
  state,
});

const valued = (
  name: OfferName,
  bought: BoughtTests,
  { input, lost }: { input: OfferInput; lost: Losses },
): Offer => {
  const boxes = boxesOf(name, bought.tests);
  const isOwn = (test: MeasuredTest): boolean =>
    test.grade === name.grade && test.weightClass === name.weightClass;
  const facts = {
    ...name,
    tests: bought.tests.filter(isOwn).length,
    boxes: boxes.tests.length,
    ...lost,
    ...laborOf(name, bought),
  };
  const model = modelOf(name, bought, input.modeled.weightModels);
  const inside = boxes.tests.filter(
    (test) => model !== undefined && test.meanPieceKg >= model.lowKg && test.meanPieceKg <= model.highKg,
  );
  const missing = missingFor(name, {
    bought,
    model,
    boxes: boxes.tests,
    inside,
    usable: lost.usable,
    chain: input.chain,
  });
  if (model === undefined || missing !== '') return { ...facts, ...unknown, assumed: '', missing };
  return { ...facts, ...worthOf(name, { model, boxes, bought, lost }, input.modeled.supplierItems) };
};

type Seen = { model: WeightModel; boxes: Boxes; bought: BoughtTests; lost: Losses };

const worthOf = (
  name: OfferName,
  { model, boxes, bought, lost }: Seen,
  supplierItems: ModeledNight['supplierItems'],
): Omit<Offer, keyof OfferName | 'tests' | 'boxes' | keyof Losses | 'labor' | 'laborSd' | 'hours'> => {
  const basis = basisOf(name, model, boxes, supplierItems);
  const of = (outcome: PredictedOutcome) => perDrained(basis, outcome);
  const [value, saleable] = [of('value'), of('saleable')];
  const usable = lost.usable.value;
  const bags = Number.isNaN(lost.usable.sd) ? 0 : lost.usable.sd ** 2;
  const valueSd = Math.sqrt(usable ** 2 * value.variance + value.mean ** 2 * bags);
  if (!(valueSd < widestShare * usable * value.mean))
    return {
      ...unknown,
      assumed: '',
      missing: 'the value is not known to within 20 %; more tests are needed',
    };
  return {
    pieceKg: meanPieceKg(boxes.tests),
    value: usable * value.mean,
    valueSd,
    saleable: usable * saleable.mean,
    saleableSd: Math.sqrt(usable ** 2 * saleable.variance + saleable.mean ** 2 * bags),
    mainCut: usable * of('main_cut').mean,
    credit: usable * creditOf(bought),
    assumed: assumedFor(name, lost.usable.ring, bought),
    missing: '',
    basis,
  };
};

const unknown = {
  pieceKg: Number.NaN,
  value: Number.NaN,
  valueSd: Number.NaN,
  saleable: Number.NaN,
  saleableSd: Number.NaN,
  mainCut: Number.NaN,
  credit: Number.NaN,
  basis: undefined,
};

type Losses = Pick<Offer, 'usable' | 'purgeShare' | 'shortShare'>;

/** Share of billed weight that reaches the block, and where the rest went; the supplier's own bags where 8 are known. */
const lossesOf = (name: OfferName, tests: readonly MeasuredTest[], all: readonly MeasuredTest[]): Losses => {
  const own = (list: readonly MeasuredTest[]): MeasuredTest[] =>
    list.filter((test) => test.supplier === name.supplier);
  const rings = [
    [`${name.supplier}, ${name.item} ${name.spec}`.trim(), () => own(tests)],
    [name.supplier, () => own(all)],
    [`${name.item} ${name.spec}`.trim(), () => tests],
    ['all items', () => all],
  ] as const;
  // where the invoice is not on the sheet, what was weighed in with its purge stands for it
  const billed = (test: MeasuredTest): number =>
    Number.isNaN(test.billedKg) && Number.isNaN(test.purgeKg) ? Number.NaN : test.billedFilledKg;
  return {
    usable: ringed(rings, (test) => test.drainedKg, billed),
    purgeShare: ringed(rings, (test) => test.purgeKg, billed).value,
    shortShare: ringed(rings, (test) => test.shortKg, billed).value,
  };
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

const modelOf = (
  name: OfferName,
  bought: BoughtTests,
  models: readonly WeightModel[],
): WeightModel | undefined => {
  const treatments = new Set(bought.tests.map((test) => test.treatment));
  return models
    .filter((one) => one.item === name.item && one.spec === name.spec && treatments.has(one.treatment))
    .sort((a, b) => b.tests - a.tests)[0];
};

/** Mean design row of the boxes, by weight, and how the supplier differs; a supplier not seen is average, as unsure as the least known. */
const basisOf = (
  name: OfferName,
  model: WeightModel,
  boxes: Boxes,
  supplierItems: ModeledNight['supplierItems'],
): OfferBasis => {
  // pieces beyond the weights seen count as those at the edge: left out, they would pull the range's mean inwards
  const { row, pulls } = meanRow(boxes.tests, (pieceKg) =>
    model.row(name.grade, Math.min(model.highKg, Math.max(model.lowKg, pieceKg))),
  );
  const effectOf = (outcome: PredictedOutcome): { effect: number; sd: number } => {
    const known = supplierItems.filter(
      (one) =>
        one.item === model.item &&
        one.spec === model.spec &&
        one.treatment === model.treatment &&
        one.outcome === outcome,
    );
    const own = known.find((one) => one.supplier === name.supplier);
    return {
      effect: own?.effect ?? 0,
      sd: own?.sd ?? known.reduce((most, one) => Math.max(most, one.sd), 0),
    };
  };
  return {
    model,
    row,
    pulls,
    boxes: JSON.stringify([name.weightClass, boxes.owner]),
    supplierEffect: {
      saleable: effectOf('saleable'),
      main_cut: effectOf('main_cut'),
      value: effectOf('value'),
    },
  };
};

/** Money of what is sold but not saleable, per drained kg, of the method most used. */
const creditOf = ({ ofMethod, creditOf: credits }: BoughtTests): number => {
  const known = ofMethod.filter((test) => Number.isFinite(test.drainedKg));
  const kg = known.reduce((sum, test) => sum + test.drainedKg, 0);
  return known.reduce((sum, test) => sum + (credits.get(testKey(test)) ?? 0), 0) / kg;
};

const assumedFor = (name: OfferName, ring: string, bought: BoughtTests): string => {
  const own = bought.tests.filter((test) => test.supplier === name.supplier).length;
  const parts = [
    ...(own === 0 ? ['yield of an average supplier'] : []),
    ...(ring.startsWith(name.supplier) ? [] : [`purge and short weight as for ${ring}`]),
  ];
  return parts.join('; ');
};
