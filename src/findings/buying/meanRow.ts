import type { MeasuredTest } from '../../measure/measured.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { dot } from '../../tables/quadraticForm.ts';

const mostBins = 60;

/**
 * Mean of the rows at the boxes' piece weights, each box by its weight, so that a curve times it is the mean over what is
 * really sold; and, by store (by box where there is one store), how far its boxes pull that mean: other boxes of the range would pull it elsewhere. Many
 * boxes are taken in at most 60 groups of like weight. Throws without any box.
 */
export const meanRow = (
  tests: readonly MeasuredTest[],
  rowAt: (pieceKg: number) => number[],
): { row: number[]; pulls: number[][] } => {
  if (tests.length === 0) throw new Error('meanRow: 0 boxes');
  // what is drawn again are stores; in a chain of one store, its boxes
  const isOneStore = tests.every((test) => test.store === tests[0]?.store);
  const drawn = (test: MeasuredTest): string => (isOneStore ? test.testId : test.store);
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
    for (const test of own)
      byStore.set(drawn(test), (byStore.get(drawn(test)) ?? 0) + test.drainedKg / total);
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

/**
 * Variance of a curve's mean over boxes for want of more boxes: stores are drawn, their boxes with them (Cochran 1977 ch.
 * 9), widened so that normal limits hold as t limits would with few stores (t = z + (z^3 + z) / 4 df, Abramowitz & Stegun
 * 26.7.5). 0 for one box, which tells nothing.
 */
export const boxVariance = (
  pulls: readonly (readonly number[])[],
  coefficients: readonly number[],
): number => {
  const n = pulls.length;
  if (n < 2) return 0;
  const asT = 1 + (z975 ** 2 + 1) / (4 * (n - 1));
  const squares = pulls.reduce((sum, pull) => sum + dot(pull, coefficients) ** 2, 0);
  return asT ** 2 * (n / (n - 1)) * squares;
};
