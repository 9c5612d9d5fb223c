import { normalQuantile } from '../../tables/normalDistribution.ts';
import { quantileOfSorted } from '../../tables/quantile.ts';

/** Shares winsorized at each end, and the two-sided coverage of the limits asked for (0.95 and 0.998 in a funnel plot). */
export type FunnelOptions = { target: number; winsorized?: number };

/** Over-dispersion of a funnel: phi = mean winsorized z^2, tau^2 beyond sampling, and z-scores without, multiplied and added. */
export type Funnel = {
  z: Float64Array;
  winsorizedZ: Float64Array;
  phi: number;
  betweenVariance: number;
  multiplicativeZ: Float64Array;
  additiveZ: Float64Array;
};

/**
 * Z-scores of estimates about a target with over-dispersion from winsorized z, multiplicative (z / sqrt phi if phi > 1) and
 * additive (Spiegelhalter 2005 Stat. Med. 24:1185 and Qual. Saf. Health Care 14:347). estimate, se: one a unit, same unit;
 * a missing one (NaN) stays NaN and does not count.
 */
export const funnel = (
  estimate: ArrayLike<number>,
  se: ArrayLike<number>,
  { target, winsorized = 0.1 }: FunnelOptions,
): Funnel => {
  if (estimate.length !== se.length)
    throw new Error(`funnel: ${estimate.length} estimates, ${se.length} standard errors`);
  const z = Float64Array.from(estimate, (value, i) => (value - target) / (se[i] as number));
  const sorted = z.filter((value) => !Number.isNaN(value)).sort();
  const [low, high] = [quantileOfSorted(sorted, winsorized), quantileOfSorted(sorted, 1 - winsorized)];
  const winsorizedZ = z.map((value) => Math.max(low, Math.min(high, value)));
  const known = [...z.keys()].filter((i) => !Number.isNaN(z[i] as number));
  const total = (value: (i: number) => number): number => known.reduce((sum, i) => sum + value(i), 0);
  const phi = total((i) => (winsorizedZ[i] as number) ** 2) / known.length;
  const [w1, w2] = [total((i) => (se[i] as number) ** -2), total((i) => (se[i] as number) ** -4)];
  const spread = w1 - w2 / w1;
  const extra = known.length * phi - (known.length - 1);
  const betweenVariance = spread > 0 ? Math.max(0, extra / spread) : 0;
  return {
    z,
    winsorizedZ,
    phi,
    betweenVariance,
    multiplicativeZ: phi > 1 ? z.map((value) => value / Math.sqrt(phi)) : z,
    additiveZ: z.map((_, i) => ((estimate[i] as number) - target) / sdWith(se[i] as number, betweenVariance)),
  };
};

const sdWith = (se: number, betweenVariance: number): number => Math.sqrt(se * se + betweenVariance);

/** Limits about the target for estimates of the given standard errors: the two-sided `coverage` (0.95, 0.998), `betweenVariance` added (0 = none). */
export const funnelLimits = (
  se: ArrayLike<number>,
  { target, coverage, betweenVariance }: { target: number; coverage: number; betweenVariance: number },
): { low: Float64Array; high: Float64Array } => {
  const reach = Float64Array.from(
    se,
    (own) => normalQuantile((1 + coverage) / 2) * sdWith(own, betweenVariance),
  );
  return { low: reach.map((own) => target - own), high: reach.map((own) => target + own) };
};
