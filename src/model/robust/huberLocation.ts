import { normalCdf, normalDensity } from '../../tables/normalDistribution.ts';
import { quantile } from '../../tables/quantile.ts';
import { madScale } from './huberWeights.ts';

export type Location = { center: number; scale: number };

/** Weight of a standardized residual under Huber's psi with bend k: min(1, k / |z|). */
export const huberWeight = (z: number, k: number): number => (Math.abs(z) <= k ? 1 : k / Math.abs(z));

/** E psi(Z)^2 and E psi'(Z) of Huber's psi with bend k at the normal: what makes a scale or a variance from it consistent. */
export const huberMoments = (k: number): { square: number; slope: number } => {
  const slope = 2 * normalCdf(k) - 1;
  return { square: slope - 2 * k * normalDensity(k) + 2 * k * k * normalCdf(-k), slope };
};

const mostRounds = 200;
const tolerance = 1e-13;

/**
 * Huber's M-estimate of location with the median absolute deviation as fixed scale (Huber 1964 Ann. Math. Statist. 35:73).
 * NaN for no values, the median where the scale is 0; missing values (NaN) are left out.
 */
export const huberLocation = (values: ArrayLike<number>, k: number): Location => {
  const known = Array.from(values).filter((value) => !Number.isNaN(value));
  const scale = madScale(known);
  let center = quantile(known, 0.5);
  for (let round = 0; round < mostRounds && scale > 0; round++) {
    const next = weightedMean(known, { center, scale }, k);
    const isStill = Math.abs(next - center) <= tolerance * scale;
    center = next;
    if (isStill) break;
  }
  return { center, scale };
};

/** Huber's proposal 2: location and scale together, the scale from E psi^2 with n - 1 in place of n (Huber 1981, ch. 6). Same edges. */
export const huberLocationAndScale = (values: ArrayLike<number>, k: number): Location => {
  const known = Array.from(values).filter((value) => !Number.isNaN(value));
  const { square } = huberMoments(k);
  let at: Location = { center: quantile(known, 0.5), scale: madScale(known) };
  for (let round = 0; round < mostRounds && at.scale > 0; round++) {
    const { center, scale } = at;
    const bounded = (value: number): number =>
      Math.max(center - k * scale, Math.min(center + k * scale, value));
    const next = known.reduce((sum, value) => sum + bounded(value), 0) / known.length;
    const squares = known.reduce((sum, value) => sum + (bounded(value) - next) ** 2, 0);
    at = { center: next, scale: Math.sqrt(squares / (known.length - 1) / square) };
    if (Math.abs(next - center) <= tolerance * scale && Math.abs(at.scale - scale) <= tolerance * scale)
      break;
  }
  return at;
};

const weightedMean = (values: readonly number[], { center, scale }: Location, k: number): number => {
  let [sum, total] = [0, 0];
  for (const value of values) {
    const weight = huberWeight((value - center) / scale, k);
    sum += weight * value;
    total += weight;
  }
  return sum / total;
};
