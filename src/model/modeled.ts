import type { ColumnTable } from 'arquero';
import type { Outcome } from '../catalog/outcomes.ts';

export type EffectKind = 'cutter-item' | 'cutter' | 'store-item' | 'store' | 'supplier';
export type FitStatus = 'ok' | 'too-few-tests' | 'singular' | 'not-converged' | 'rank-deficient';

/** One row of effects: points of drained weight, or currency per kg for `value`. */
export type EffectRow = {
  kind: EffectKind;
  id: string;
  store: string;
  item: string;
  outcome: Outcome;
  tests: number;
  testsNeeded: number;
  /** SD of one test about its level. */
  testSd: number;
  rawMean: number;
  expectedMean: number;
  effect: number;
  sd: number;
  low: number;
  high: number;
  reliability: number;
  chanceBeyond: number;
  expectedRank: number;
  rankLow: number;
  rankHigh: number;
  status: FitStatus;
  /** Difference seen before shrinking, store and mates taken out, and its SD (infinite when it cannot be told). */
  difference: number;
  differenceSd: number;
};

/** Expected saleable and main-cut yield over mean piece weight, with 95 % interval; fractions of drained weight. */
export type CurveRow = {
  item: string;
  spec: string;
  grade: string;
  weightKg: number;
  saleable: number;
  low: number;
  high: number;
  mainCut: number;
  valuePerKg: number;
};

const predicted = ['saleable', 'main_cut', 'value'] as const;

/** What buying is told over grade, weight and supplier. */
export type PredictedOutcome = (typeof predicted)[number];

export const isPredicted = (outcome: Outcome): outcome is PredictedOutcome =>
  predicted.some((one) => one === outcome);

/**
 * What yield and value to expect over grade, mean piece weight and supplier for one item, spec and treatment, most used
 * method, average month and store. Prediction = row . coefficients, variance = row . covariance . row, and covariance of two
 * predictions likewise; a supplier not among `suppliers` is like the average one, give or take `unseen` (a variance).
 */
export type WeightModel = {
  item: string;
  spec: string;
  treatment: string;
  tests: number;
  /** 2-98 % of the mean piece weights seen, kg. */
  lowKg: number;
  highKg: number;
  grades: string[];
  suppliers: string[];
  /** Supplier '' or not given: the average one. */
  row: (grade: string, pieceKg: number, supplier?: string) => number[];
  outcomes: Record<
    PredictedOutcome,
    { coefficients: number[]; covariance: number[]; residualSd: number; unseen: number } | undefined
  >;
};

/** One step of how an expected yield is built up; points (value: currency per kg). */
export type ExpectedTerm = { term: string; size: number };

/**
 * What the model stage hands on. `expected` has one row a used test, sorted by (store, testId), columns
 * store, testId, and per outcome `expected_<o>`, `residual_<o>` (actual - expected for an average store and cutter), `sd_<o>`
 * (of one test about everything fitted), `store_<o>` and `cutter_<o>` (shrunken effects): fraction of drained; value per kg.
 * `composition_tail`: chance that a test cut and weighed like the most lies as far from its expected composition (near 0:
 * odd lines, near 1: too near; NaN: too few tests).
 */
export type ModeledNight = {
  expected: ColumnTable;
  effects: EffectRow[];
  curves: CurveRow[];
  weightModels: WeightModel[];
  /** Mean price by item ('' = all) and class that turns class effects into value. */
  classPrices: { item: string; outcome: Outcome; pricePerKg: number }[];
  /** How the expected yield of a used test is built up; empty for a test that is not there. */
  termsOf: (store: string, testId: string, outcome: Outcome) => ExpectedTerm[];
  adjustedFor: string[];
};
