import { chiSquaredQuantile } from '../../tables/gammaDistribution.ts';
import { quantile } from '../../tables/quantile.ts';
import { concentrated, initialCores } from './initialCores.ts';
import { consistencyFactor, coreSize, rawSampleFactor, reweightedSampleFactor } from './mcdFactors.ts';
import type { ScaleOf } from './ogk.ts';
import {
  type Scatter,
  scaledScatter,
  scatterOf,
  smallestPlaces,
  squaredDistances,
  whitened,
} from './scatter.ts';

/**
 * `logDeterminant`: the criterion, of the covariance of the core (before factors). `raw` and `reweighted` carry consistency
 * and small-sample factors. `core`, `kept`: rows of the core and rows behind the reweighted estimate, ascending.
 */
export type Mcd = {
  logDeterminant: number;
  core: Int32Array;
  raw: Scatter;
  kept: Int32Array;
  reweighted: Scatter;
};

const mostSteps = 200;
/** Up to so many rows the neighbors of some rows are starts as well, of so many rows at even steps from the center out. */
const mostRowsWithNeighbors = 400;
const mostNeighborhoods = 60;

/**
 * Minimum covariance determinant without random starts, the same every night: six robust starts, concentration steps to the
 * end, the smallest determinant (Rousseeuw & Van Driessen 1999 Technometrics 41:212; Hubert, Rousseeuw & Verdonck 2012 JCGS
 * 21:618), reweighted at the 97.5 % point of chi-squared. Few rows: neighborhoods of rows are starts as well, as all six may
 * end on a ridge. columns: p of n, no missing values; `share`: size of the core, 0.5 to 1. undefined when n <= p + 1, a
 * column has no scale or the core lies in a plane: take OGK, or fewer columns.
 */
export const deterministicMcd = (
  columns: readonly Float64Array[],
  { share, scaleOf }: { share: number; scaleOf: ScaleOf },
): Mcd | undefined => {
  const p = columns.length;
  const n = columns[0]?.length ?? 0;
  if (n <= p + 1) return undefined;
  const scales = columns.map(scaleOf);
  if (!scales.every((scale) => scale > 0)) return undefined;
  const standard = columns.map((column, a) => {
    const center = quantile(column, 0.5);
    return column.map((value) => (value - center) / (scales[a] as number));
  });
  const best = bestCore(standard, initialCores(standard, scaleOf), coreSize(n, p, share));
  if (best === undefined) return undefined;
  const core = best.sort();
  const inner = scatterOf(columns, core);
  const size = { n, p, share };
  const raw = scaledScatter(inner, consistencyFactor(p, core.length / n) * rawSampleFactor(size));
  const { squared } = squaredDistances(columns, raw);
  const cutoff = chiSquaredQuantile(0.975, p);
  const kept = Int32Array.from([...squared.keys()].filter((i) => (squared[i] as number) < cutoff));
  const outer = kept.length === n ? 1 : consistencyFactor(p, kept.length / n) * reweightedSampleFactor(size);
  return {
    logDeterminant: squaredDistances(columns, inner).logDeterminant,
    core,
    raw,
    kept,
    reweighted: scaledScatter(scatterOf(columns, kept), outer),
  };
};

type Settled = { core: Int32Array; logDeterminant: number };

/** The core of least determinant after settling each start; the first of equals. */
const bestCore = (
  standard: readonly Float64Array[],
  starts: readonly Int32Array[],
  size: number,
): Int32Array | undefined => {
  const n = standard[0]?.length ?? 0;
  const first = leastOf(starts.map((start) => concentratedToTheEnd(standard, start, size)));
  if (first === undefined || n > mostRowsWithNeighbors) return first?.core;
  const local = neighborhoods(standard, first.core);
  const ends = local.map((start) => concentratedToTheEnd(standard, start, size));
  return leastOf([first, ...ends])?.core;
};

/** The one of least determinant; the first of equals. */
const leastOf = (ends: readonly (Settled | undefined)[]): Settled | undefined => {
  let best: Settled | undefined;
  for (const end of ends)
    if (end !== undefined && (best === undefined || end.logDeterminant < best.logDeterminant - 1e-12))
      best = end;
  return best;
};

/** The rows nearest to some rows, in the metric of a core: starts that do not depend on the order of rows. */
const neighborhoods = (standard: readonly Float64Array[], core: Int32Array): Int32Array[] => {
  const scatter = scatterOf(standard, core);
  const points = whitened(standard, scatter) ?? [];
  const n = standard[0]?.length ?? 0;
  const count = Math.max(standard.length + 2, Math.ceil(n / 10));
  const outward = smallestPlaces(squaredDistances(standard, scatter).squared, n);
  const starts = Math.min(n, mostNeighborhoods);
  return Array.from({ length: starts }, (_, k) => {
    const i = outward[Math.floor((k * n) / starts)] as number;
    const squared = new Float64Array(n);
    for (const column of points)
      for (let j = 0; j < n; j++)
        squared[j] = (squared[j] as number) + ((column[j] as number) - (column[i] as number)) ** 2;
    return smallestPlaces(squared, count);
  });
};

/** Concentration steps until the determinant, which never rises, stays. */
const concentratedToTheEnd = (
  standard: readonly Float64Array[],
  start: Int32Array,
  size: number,
): Settled | undefined => {
  let core = concentrated(standard, start, size)?.core;
  let before = Number.POSITIVE_INFINITY;
  for (let step = 0; step < mostSteps && core !== undefined; step++) {
    const next = concentrated(standard, core, size);
    if (next === undefined) return undefined;
    if (!(next.logDeterminant < before - 1e-13)) return { core, logDeterminant: next.logDeterminant };
    before = next.logDeterminant;
    core = next.core;
  }
  return core === undefined ? undefined : { core, logDeterminant: before };
};
