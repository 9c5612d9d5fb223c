import type { RandomFactor } from './mixed/crossProducts.ts';
import { type MixtureEffects, mixtureEffects } from './mixed/mixtureEffects.ts';

/** Codes and number of levels of one factor, one code a test. */
export type Coded = { codes: Int32Array; levels: number };

export type CellFactor = Coded & { hasOutliers: boolean };

export type CellFit = {
  found: MixtureEffects;
  cellOf: Int32Array;
  /** Everything fitted, by cell, and the fixed part of it by item. */
  cellEffect: Float64Array;
  center: Float64Array;
};

/** Tests of the same levels in all factors are one cell: its bounded mean and the precision of that mean. */
export const fitCells = (
  residual: Float64Array,
  sd: Float64Array,
  options: {
    weights: Float64Array;
    noise: number;
    factors: CellFactor[];
    item: Coded;
    /** What was found from the same cells with other weights of the tests. */
    begin?: MixtureEffects;
  },
): CellFit => {
  const { factors, weights } = options;
  const { cellOf, first, count } = cellsOf(factors);
  const sums = { w: new Float64Array(count), wy: new Float64Array(count) };
  for (let i = 0; i < residual.length; i++) {
    const c = cellOf[i] as number;
    const w = (weights[i] as number) / ((sd[i] as number) * (sd[i] as number));
    sums.w[c] = (sums.w[c] as number) + w;
    sums.wy[c] = (sums.wy[c] as number) + w * (residual[i] as number);
  }
  const cellFactors: (RandomFactor & { hasOutliers: boolean })[] = factors.map((factor) => ({
    levels: factor.levels,
    hasOutliers: factor.hasOutliers,
    codes: Int32Array.from(first, (i) => factor.codes[i] as number),
  }));
  const itemOf = Int32Array.from(first, (i) => options.item.codes[i] as number);
  const items = [...new Set(itemOf)].sort((a, b) => a - b);
  const found = mixtureEffects(
    {
      x: items.map((code) => Float64Array.from(itemOf, (own) => (own === code ? 1 : 0))),
      mean: sums.wy.map((value, c) => value / (sums.w[c] as number)),
      precision: sums.w.map((value) => value / options.noise),
      factors: cellFactors,
    },
    options.begin,
  );
  const center = new Float64Array(options.item.levels);
  for (const [place, code] of items.entries()) center[code] = found.beta[place] as number;
  const cellEffect = Float64Array.from(itemOf, (code) => center[code] as number);
  for (const [f, factor] of cellFactors.entries())
    for (let c = 0; c < count; c++)
      cellEffect[c] =
        (cellEffect[c] as number) +
        ((found.factors[f] as { mean: Float64Array }).mean[factor.codes[c] as number] as number);
  return { found, cellOf, cellEffect, center };
};

const cellsOf = (factors: readonly Coded[]): { cellOf: Int32Array; first: Int32Array; count: number } => {
  const placeOf = new Map<string, number>();
  const first: number[] = [];
  const n = (factors[0] as Coded).codes.length;
  const cellOf = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    const key = factors.map((factor) => factor.codes[i]).join(' ');
    let place = placeOf.get(key);
    if (place === undefined) {
      place = first.length;
      placeOf.set(key, place);
      first.push(i);
    }
    cellOf[i] = place;
  }
  return { cellOf, first: Int32Array.from(first), count: first.length };
};
