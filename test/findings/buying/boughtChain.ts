import type { Chain } from '../../../src/catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../../../src/measure/measured.ts';
import type { WeightModel } from '../../../src/model/modeled.ts';
import type { QuoteRow } from '../../../src/normalize/normalized.ts';

/** A measured test of 10 kg billed, 9.8 on the block, with only the columns that buying reads. Constructed. */
export const boughtTest = (over: Partial<MeasuredTest> & { testId: string }): MeasuredTest => {
  const drainedKg = over.drainedKg ?? 9.8;
  const billedKg = over.billedKg ?? 10;
  return {
    store: 's1',
    cutter: 'c1',
    cutDay: 100,
    item: 'rib',
    spec: '',
    treatment: '',
    grade: 'G',
    supplier: 'North',
    boughtClass: '',
    plant: '',
    lot: '',
    leaker: '',
    packDay: Number.NaN,
    purgeOfBilled: (billedKg - drainedKg) / billedKg,
    purchaseCost: 9 * billedKg,
    weightClass: 'mid',
    method: 'steaks',
    meanPieceKg: 10,
    piecesIn: 1,
    drainedKg,
    billedKg,
    billedFilledKg: billedKg,
    purgeKg: billedKg - drainedKg,
    purgeFilledKg: billedKg - drainedKg,
    shortKg: 0,
    minutes: 6,
    laborCost: 2.4,
    state: 'used',
    reasons: '',
    unpriced: '',
    ...over,
  } as MeasuredTest;
};

export const boughtLine = (test: MeasuredTest, over: Partial<MeasuredOutput> = {}): MeasuredOutput =>
  ({
    store: test.store,
    testId: test.testId,
    output: 'steak',
    outputClass: 'main cut',
    outputKg: test.drainedKg * 0.85,
    regularPricePerKg: 20,
    pricePerKg: 20,
    ...over,
  }) as MeasuredOutput;

/** Value per drained kg 12 + 0.3 x kg for grade G, saleable 0.8 + 0.01 x kg: coefficients known, covariance diagonal. */
export const boughtModel = (over: Partial<WeightModel> = {}): WeightModel => ({
  item: 'rib',
  spec: '',
  treatment: '',
  tests: 100,
  lowKg: 5,
  highKg: 15,
  grades: ['G'],
  suppliers: ['North', 'South'],
  row: (_grade, pieceKg) => [1, pieceKg],
  outcomes: {
    value: { coefficients: [12, 0.3], covariance: [0.01, 0, 0, 0.0001], residualSd: 0.4, unseen: 0.04 },
    saleable: { coefficients: [0.8, 0.01], covariance: [1e-4, 0, 0, 1e-6], residualSd: 0.02, unseen: 0.04 },
    main_cut: { coefficients: [0.7, 0.01], covariance: [1e-4, 0, 0, 1e-6], residualSd: 0.02, unseen: 0.04 },
  },
  ...over,
});

export const boughtQuote = (over: Partial<QuoteRow> = {}): QuoteRow => ({
  supplier: 'North',
  plant: '',
  item: 'rib',
  spec: '',
  grade: 'G',
  weightClass: 'mid',
  pricePerKg: 9,
  basis: 'delivered',
  freightPerKg: Number.NaN,
  state: 'fresh',
  validFrom: 90,
  validTo: 110,
  ...over,
});

/** A chain with what findings about groups read of it: weights in `unit`, 1 point beyond expected with a chance of 0.9. */
export const findingChain = (unit: Chain['unit']): Chain =>
  ({
    language: 'en-US',
    currency: 'USD',
    unit,
    thresholds: { effect_points: 1, money_per_week: 0, chance: 0.9 },
  }) as Chain;

export const boughtSettings = {
  unit: 'kg',
  currency: 'USD',
  language: 'en-US',
  labor_per_hour: 24,
  lean_trim_floor: 50,
  claims: { usual_purge: 2, usual_short: 0.25, margin: 0.25 },
  thresholds: { effect_points: 1, money_per_week: 5, chance: 0.9 },
  items: [
    {
      item: 'rib',
      name: 'Rib',
      spec: '',
      weight_classes: [
        { name: 'light', from: 6, to: 9 },
        { name: 'mid', from: 9, to: 12 },
        { name: 'giant', from: 20, to: 30 },
      ],
    },
  ],
  outputs: [{ output: 'steak', class: 'main cut', lean_point: Number.NaN }],
} as unknown as Chain;

/** n tests of a kind, told apart by their ids. */
export const manyTests = (n: number, over: Partial<MeasuredTest> = {}, name = 't'): MeasuredTest[] =>
  Array.from({ length: n }, (_, i) => boughtTest({ testId: `${name}${i}`, ...over }));
