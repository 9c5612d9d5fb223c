import type { MeasuredTest } from '../../measure/measured.ts';
import { fewestTests } from './boughtTests.ts';
import type { OfferName } from './offer.ts';

const mostBins = 60;

/** Boxes sold in the range: as bought where stores say so, else as weighed; the supplier's own where there are 8. */
export const boxesOf = (name: OfferName, tests: readonly MeasuredTest[]): MeasuredTest[] => {
  const bought = tests.filter((test) => test.boughtClass === name.weightClass);
  const weighed = tests.filter((test) => test.weightClass === name.weightClass);
  const own = (list: MeasuredTest[]): MeasuredTest[] =>
    list.filter((test) => test.supplier === name.supplier);
  return [own(bought), bought, own(weighed)].find((list) => list.length >= fewestTests) ?? weighed;
};

/** Mean piece weight of boxes, kg; NaN without any. */
export const meanPieceKg = (tests: readonly MeasuredTest[]): number =>
  tests.reduce((sum, test) => sum + test.drainedKg, 0) /
  tests.reduce((sum, test) => sum + test.drainedKg / test.meanPieceKg, 0);

/**
 * Mean of the rows at the boxes' piece weights, each box by its weight, so that a curve times it is the mean over what is
 * really sold. Many boxes are taken in at most 60 groups of like weight. Throws without any box.
 */
export const meanRow = (tests: readonly MeasuredTest[], rowAt: (pieceKg: number) => number[]): number[] => {
  if (tests.length === 0) throw new Error('meanRow: 0 boxes');
  const sorted = [...tests].sort((a, b) => a.meanPieceKg - b.meanPieceKg);
  const bins = Math.min(mostBins, sorted.length);
  const total = sorted.reduce((sum, test) => sum + test.drainedKg, 0);
  const mean: number[] = [];
  for (let bin = 0; bin < bins; bin++) {
    const own = sorted.slice(
      Math.floor((bin * sorted.length) / bins),
      Math.floor(((bin + 1) * sorted.length) / bins),
    );
    const kg = own.reduce((sum, test) => sum + test.drainedKg, 0);
    const at = own.reduce((sum, test) => sum + test.drainedKg * test.meanPieceKg, 0) / kg;
    for (const [k, value] of rowAt(at).entries()) mean[k] = (mean[k] ?? 0) + (value * kg) / total;
  }
  return mean;
};
