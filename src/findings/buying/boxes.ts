import type { MeasuredTest } from '../../measure/measured.ts';
import { dot } from '../../tables/quadraticForm.ts';
import { fewestTests } from './boughtTests.ts';
import type { OfferName } from './offer.ts';

const mostBins = 60;

/** Boxes that say what a range weighs, and whose they are: offers of the same range and owner share them. */
export type Boxes = { tests: MeasuredTest[]; owner: string };

/** Boxes sold in the range: as bought where stores say so, else as weighed; the supplier's own where there are 8. */
export const boxesOf = (name: OfferName, tests: readonly MeasuredTest[]): Boxes => {
  const bought = tests.filter((test) => test.boughtClass === name.weightClass);
  const weighed = tests.filter((test) => test.weightClass === name.weightClass);
  const own = (list: MeasuredTest[]): MeasuredTest[] =>
    list.filter((test) => test.supplier === name.supplier);
  const found = [
    { tests: own(bought), owner: name.supplier },
    { tests: bought, owner: '' },
    { tests: own(weighed), owner: name.supplier },
  ].find((boxes) => boxes.tests.length >= fewestTests);
  return found ?? { tests: weighed, owner: '' };
};

/** Mean piece weight of boxes, kg; NaN without any. */
export const meanPieceKg = (tests: readonly MeasuredTest[]): number =>
  tests.reduce((sum, test) => sum + test.drainedKg, 0) /
  tests.reduce((sum, test) => sum + test.drainedKg / test.meanPieceKg, 0);

/**
 * Mean of the rows at the boxes' piece weights, each box by its weight, so that a curve times it is the mean over what is
 * really sold; and, by store, how far its boxes pull that mean: other boxes of the range would pull it elsewhere. Many
 * boxes are taken in at most 60 groups of like weight. Throws without any box.
 */
export const meanRow = (
  tests: readonly MeasuredTest[],
  rowAt: (pieceKg: number) => number[],
): { row: number[]; pulls: number[][] } => {
  if (tests.length === 0) throw new Error('meanRow: 0 boxes');
  const sorted = [...tests].sort((a, b) => a.meanPieceKg - b.meanPieceKg);
  const bins = Math.min(mostBins, sorted.length);
  const total = sorted.reduce((sum, test) => sum + test.drainedKg, 0);
  const row: number[] = [];
  const parts: { rowOfBin: number[]; byStore: Map<string, number> }[] = [];
  for (let bin = 0; bin < bins; bin++) {
    const own = sorted.slice(
      Math.floor((bin * sorted.length) / bins),
      Math.floor(((bin + 1) * sorted.length) / bins),
    );
    const kg = own.reduce((sum, test) => sum + test.drainedKg, 0);
    const at = own.reduce((sum, test) => sum + test.drainedKg * test.meanPieceKg, 0) / kg;
    const rowOfBin = rowAt(at);
    for (const [k, value] of rowOfBin.entries()) row[k] = (row[k] ?? 0) + (value * kg) / total;
    const byStore = new Map<string, number>();
    for (const test of own) byStore.set(test.store, (byStore.get(test.store) ?? 0) + test.drainedKg / total);
    parts.push({ rowOfBin, byStore });
  }
  const pulls = new Map<string, number[]>();
  for (const { rowOfBin, byStore } of parts)
    for (const [store, share] of byStore) {
      const own = pulls.get(store) ?? row.map(() => 0);
      pulls.set(
        store,
        own.map((sum, k) => sum + share * ((rowOfBin[k] as number) - (row[k] as number))),
      );
    }
  return { row, pulls: [...pulls.values()] };
};

/** Variance of a curve's mean over boxes for want of more boxes: stores are drawn, their boxes with them (Cochran 1977 ch. 9). */
export const boxVariance = (
  pulls: readonly (readonly number[])[],
  coefficients: readonly number[],
): number => {
  const n = pulls.length;
  if (n < 2) return 0;
  return (n / (n - 1)) * pulls.reduce((sum, pull) => sum + dot(pull, coefficients) ** 2, 0);
};
