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

/**
 * What the model stage hands on. `expected` has one row a used test, sorted by (store, testId), columns
 * store, testId, and per outcome `expected_<outcome>` and `residual_<outcome>` (fraction of drained; value per kg),
 * where expected is for an average store and cutter and residual is actual - expected.
 */
export type ModeledNight = {
  expected: ColumnTable;
  effects: EffectRow[];
  curves: CurveRow[];
  adjustedFor: string[];
};
