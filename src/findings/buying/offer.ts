import type { PredictedOutcome, WeightModel } from '../../model/modeled.ts';
import { dot, quadraticForm } from '../../tables/quadraticForm.ts';
import type { Ringed } from './boughtTests.ts';
import { boxVariance } from './meanRow.ts';

/** One thing that can be bought: pieces of an item and spec, of a grade, in a weight range, from a supplier. */
export type OfferName = {
  supplier: string;
  item: string;
  spec: string;
  grade: string;
  weightClass: string;
  state: string;
};

/** What one offer is expected to give. Shares are of billed weight, money per billed kg at the regular list; NaN = unknown. */
export type Offer = OfferName & {
  /** Tests of this grade in this range, and tests whose pieces say what the range weighs. */
  tests: number;
  boxes: number;
  pieceKg: number;
  usable: Ringed;
  purgeShare: number;
  shortShare: number;
  value: number;
  valueSd: number;
  saleable: number;
  saleableSd: number;
  mainCut: number;
  mainCutSd: number;
  /** Money of what is sold but not saleable. */
  credit: number;
  labor: number;
  laborSd: number;
  hours: number;
  /** The way of cutting most used, by which the offer is valued. */
  method: string;
  /** What was assumed for want of tests; '' when nothing was. */
  assumed: string;
  /** What is missing for an answer; '' when the offer can be valued. */
  missing: string;
  /** What whoever runs the night can enter so that it can be valued; '' where only tests help. */
  remedy: string;
  basis: OfferBasis | undefined;
};

/** What an offer's value is computed from, kept for covariances between offers. */
export type OfferBasis = {
  model: WeightModel;
  row: number[];
  /** How far the boxes of each store pull the row, and whose boxes they are: offers of the same range and owner share them. */
  pulls: number[][];
  boxes: string;
  /** True for a supplier named but never tested on this item. */
  isUnseen: boolean;
};

/** Mean and variance of an outcome per drained kg for an offer's weights and supplier; NaN when it was not fitted. */
export const perDrained = (
  { model, row, pulls, isUnseen }: OfferBasis,
  outcome: PredictedOutcome,
): { mean: number; variance: number } => {
  const fit = model.outcomes[outcome];
  if (fit === undefined) return { mean: Number.NaN, variance: Number.NaN };
  return {
    mean: dot(row, fit.coefficients),
    variance:
      Math.max(0, quadraticForm(row, fit.covariance, row)) +
      (isUnseen ? fit.unseen : 0) +
      boxVariance(pulls, fit.coefficients),
  };
};

/**
 * Covariance of the values per billed kg of two offers: they share the curve with its suppliers when they are of one item
 * and spec, the boxes that say what a range weighs when these are the same, what is not known of a supplier never tested and
 * the weight lost in its bags when they are of one supplier. NaN when either cannot be valued.
 */
export const valueCovariance = (a: Offer, b: Offer): number => {
  if (a.basis === undefined || b.basis === undefined) return Number.NaN;
  const isSameCurve = a.basis.model === b.basis.model;
  const fit = a.basis.model.outcomes.value;
  const curve =
    isSameCurve && fit !== undefined ? quadraticForm(a.basis.row, fit.covariance, b.basis.row) : 0;
  const boxes =
    isSameCurve && fit !== undefined && a.basis.boxes === b.basis.boxes
      ? boxVariance(a.basis.pulls, fit.coefficients)
      : 0;
  const isSameUnseen = isSameCurve && a.supplier === b.supplier && a.basis.isUnseen;
  const supplier = isSameUnseen ? (fit?.unseen ?? 0) : 0;
  const bags =
    a.usable.ring === b.usable.ring
      ? (a.value / a.usable.value) *
        (b.value / b.usable.value) *
        (Number.isNaN(a.usable.sd) ? 0 : a.usable.sd ** 2)
      : 0;
  return a.usable.value * b.usable.value * (curve + boxes + supplier) + bags;
};
