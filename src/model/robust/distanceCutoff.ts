import { fUpper, fUpperQuantile } from '../../tables/betaDistribution.ts';
import { chiSquaredLower, chiSquaredQuantile } from '../../tables/gammaDistribution.ts';

/** Number of rows, dimensions, and share of the rows in the core of the MCD. */
export type CoreShape = { n: number; p: number; share: number };

/**
 * Degrees of freedom of the Wishart distribution that the raw MCD covariance nearly has: asymptotic variance of Croux &
 * Haesbroeck 1999 J. Multivar. Anal. 71:161, corrected for small samples by Hardin & Rocke 2005 JCGS 14:928 (their
 * correction was fitted at cores of a half; it is faded out linearly toward cores of all rows).
 */
export const wishartFreedom = ({ n, p, share }: CoreShape): number => {
  const q = chiSquaredQuantile(Math.min(share, 1 - 1e-9), p);
  const inside = (extra: number): number => chiSquaredLower(q, p + extra);
  const c = share / inside(2);
  const [c2, c3] = [-inside(2) / 2, -inside(4) / 2];
  const c4 = 3 * c3;
  const b1 = (c * (c3 - c4)) / share;
  const b2 = 0.5 + (c / share) * (c3 - (q / p) * (c2 + share / 2));
  const left = share * b1 * b1 * ((1 - share) * ((c * q) / p - 1) ** 2 - 1);
  const right = 2 * c3 * c * c * (3 * (b1 - p * b2) ** 2 + (p + 2) * b2 * (2 * b1 - p * b2));
  const variance = (left - right) / (n * (b1 * (b1 - p * b2) * share) ** 2 * c * c);
  const asymptotic = 2 / (c * c * variance);
  const correction = 0.725 - 0.00663 * p - 0.078 * Math.log(n);
  return asymptotic * Math.exp(correction * Math.min(1, 2 * (1 - share)));
};

/** For each row P(a squared distance beyond its own) among normal rows outside the core: p m / (m - p + 1) F(p, m - p + 1) (Hardin & Rocke 2005). NaN for NaN. */
export const distanceTails = (squared: Float64Array, shape: CoreShape): Float64Array => {
  const { scale, df } = fShape(shape);
  return squared.map((own) => (Number.isNaN(own) ? Number.NaN : fUpper(own / scale, shape.p, df)));
};

/** Squared distance that a share `tail` of normal rows goes beyond. */
export const distanceCutoff = (tail: number, shape: CoreShape): number => {
  const { scale, df } = fShape(shape);
  return scale * fUpperQuantile(tail, shape.p, df);
};

const fShape = (shape: CoreShape): { scale: number; df: number } => {
  // below p + 1 degrees of freedom the covariance has no inverse to speak of
  const m = Math.max(wishartFreedom(shape), shape.p + 1);
  const df = m - shape.p + 1;
  return { scale: (shape.p * m) / df, df };
};
