import { chiSquaredLower, chiSquaredQuantile } from '../../tables/gammaDistribution.ts';

/** Makes the covariance of the innermost `share` of normal points in p dimensions consistent (Croux & Haesbroeck 1999 J. Multivar. Anal. 71:161). */
export const consistencyFactor = (p: number, share: number): number =>
  share >= 1 ? 1 : share / chiSquaredLower(chiSquaredQuantile(share, p), p + 2);

/** Number of rows in the core for a wanted share of n, between about a half (0.5) and all (1). */
export const coreSize = (n: number, p: number, share: number): number => {
  const half = Math.floor((n + p + 1) / 2);
  return Math.floor(2 * half - n + 2 * (n - half) * share);
};

type Curve = {
  /** p = 1 and p = 2: expected determinant 1 - exp(a) / n^b. */
  few: readonly [readonly [number, number], readonly [number, number]];
  /** p > 2: for n = 2 p^2 and n = 3 p^2 the loss is -c / p^d. */
  many: readonly [readonly [number, number], readonly [number, number]];
};

// Simulated curves of Pison, Van Aelst & Willems 2002 Metrika 55:111, cores of 50 % and 87.5 %.
const rawHalf: Curve = {
  few: [
    [0.262024211897096, 0.604756680630497],
    [0.673292623522027, 0.691365864961895],
  ],
  many: [
    [-1.42764571687802, 1.26263336932151],
    [-1.06141115981725, 1.28907991440387],
  ],
};
const rawMost: Curve = {
  few: [
    [-0.351584646688712, 1.01646567502486],
    [0.446537815635445, 1.06690782995919],
  ],
  many: [
    [-0.455179464070565, 1.11192541278794],
    [-0.294241208320834, 1.09649329149811],
  ],
};
const reweightedHalf: Curve = {
  few: [
    [1.11098143415027, 1.5182890270453],
    [3.11101712909049, 1.91401056721863],
  ],
  many: [
    [-1.02842572724793, 1.67659883081926],
    [-0.26800273450853, 1.35968562893582],
  ],
};
const reweightedMost: Curve = {
  few: [
    [-0.66046776772861, 0.88939595831888],
    [0.79473550581058, 1.10081930350091],
  ],
  many: [
    [-0.544482443573914, 1.25994483222292],
    [-0.343791072183285, 1.25159004257133],
  ],
};

/** Expected size of the estimate for n rows, from a curve through its two points for p > 2. */
const expectedSize = ({ few, many }: Curve, n: number, p: number): number => {
  const direct = p <= 2 ? few[p - 1] : undefined;
  if (direct !== undefined) return 1 - Math.exp(direct[0]) / n ** direct[1];
  const [two, three] = many.map(([c, d]) => Math.log(-c / p ** d)) as [number, number];
  const slope = (two - three) / (Math.log(3 * p * p) - Math.log(2 * p * p));
  return 1 - Math.exp(two + slope * Math.log(2 * p * p)) / n ** slope;
};

const factor = (half: Curve, most: Curve, { n, p, share }: McdSize): number => {
  const [low, high] = [expectedSize(half, n, p), expectedSize(most, n, p)];
  const size =
    share <= 0.875
      ? low + ((high - low) / 0.375) * (share - 0.5)
      : high + ((1 - high) / 0.125) * (share - 0.875);
  return 1 / size;
};

export type McdSize = { n: number; p: number; share: number };

/** Small-sample factor of the raw covariance of a core of `share` of n rows in p dimensions (Pison, Van Aelst & Willems 2002). */
export const rawSampleFactor = (size: McdSize): number => factor(rawHalf, rawMost, size);

/** Small-sample factor of the reweighted covariance; same source. */
export const reweightedSampleFactor = (size: McdSize): number => factor(reweightedHalf, reweightedMost, size);
