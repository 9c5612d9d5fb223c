import { normalCdf, normalQuantile } from '../../tables/normalDistribution.ts';
import { quantileOfSorted } from '../../tables/quantile.ts';

/** Expected ranks, 1 = highest, and where 95 % of the rank lies; NaN where mean or sd is missing or sd is not above 0. */
export type ExpectedRanks = { rank: Float64Array; low: Float64Array; high: Float64Array };

const gridPoints = 300;
/** Equal shares of the own effect, and of the rank given it, that stand for their distributions. */
const shares = Array.from({ length: 15 }, (_, k) => normalQuantile((k + 0.5) / 15));
const rankShares = Array.from({ length: 9 }, (_, k) => normalQuantile((k + 0.5) / 9));
/** Fields up to this size are compared pair by pair, larger ones through a grid. */
const mostPairs = 500;

/**
 * Ranks of independent normal effects: expected rank 1 + sum over others of P(other higher) (Laird & Louis 1989 J. Educ.
 * Statist. 14:29; Lin et al. 2006 Bayesian Anal. 1:915), with an interval of the rank itself (Goldstein & Spiegelhalter 1996
 * JRSSA 159:385): given the own effect the others are independent, so the rank is nearly normal, and the interval is that of
 * the mixture over the own effect. means, sds: one a unit.
 */
export const expectedRanks = (means: ArrayLike<number>, sds: ArrayLike<number>): ExpectedRanks => {
  const field = [...Array(means.length).keys()].filter(
    (i) => (sds[i] as number) > 0 && Number.isFinite(means[i]),
  );
  const empty = (): Float64Array => new Float64Array(means.length).fill(Number.NaN);
  const ranks = { rank: empty(), low: empty(), high: empty() };
  const above = countsAbove(
    Float64Array.from(field, (i) => means[i] as number),
    Float64Array.from(field, (i) => sds[i] as number),
  );
  const clip = (value: number): number => Math.min(field.length, Math.max(1, value));
  for (const i of field) {
    const [m, s] = [means[i] as number, sds[i] as number];
    const places: number[] = [];
    let mean = 0;
    for (const z of shares) {
      const own = normalCdf(-z);
      const { expected, variance } = above(m + z * s);
      const spread = Math.sqrt(Math.max(0, variance - own * (1 - own)));
      mean += (1 + expected - own) / shares.length;
      for (const w of rankShares) places.push(1 + expected - own + w * spread);
    }
    places.sort((a, b) => a - b);
    ranks.rank[i] = field.length > mostPairs ? clip(mean) : 1 + higherThan(i, { field, means, sds });
    // ranks are whole numbers
    ranks.low[i] = clip(Math.round(quantileOfSorted(places, 0.025)));
    ranks.high[i] = clip(Math.round(quantileOfSorted(places, 0.975)));
  }
  return ranks;
};

type Field = { field: readonly number[]; means: ArrayLike<number>; sds: ArrayLike<number> };

/** Expected number of the others that are higher than unit i, pair by pair. */
const higherThan = (i: number, { field, means, sds }: Field): number => {
  const [m, s] = [means[i] as number, sds[i] as number];
  let sum = 0;
  for (const j of field) {
    const spread = sds[j] as number;
    if (j !== i) sum += normalCdf(((means[j] as number) - m) / Math.sqrt(spread * spread + s * s));
  }
  return sum;
};

/** Number of units above a value: expectation and variance, from a grid over the field, linear between its points. */
const countsAbove = (
  means: Float64Array,
  sds: Float64Array,
): ((value: number) => { expected: number; variance: number }) => {
  const low = means.reduce(
    (least, m, i) => Math.min(least, m - 6 * (sds[i] as number)),
    Number.POSITIVE_INFINITY,
  );
  const high = means.reduce(
    (most, m, i) => Math.max(most, m + 6 * (sds[i] as number)),
    Number.NEGATIVE_INFINITY,
  );
  const step = (high - low) / (gridPoints - 1);
  const expected = new Float64Array(gridPoints);
  const variance = new Float64Array(gridPoints);
  for (let k = 0; k < gridPoints; k++)
    for (let i = 0; i < means.length; i++) {
      const chance = normalCdf(((means[i] as number) - (low + k * step)) / (sds[i] as number));
      expected[k] = (expected[k] as number) + chance;
      variance[k] = (variance[k] as number) + chance * (1 - chance);
    }
  return (value) => {
    const place = Math.min(gridPoints - 1.001, Math.max(0, (value - low) / step));
    const k = Math.floor(place);
    const between = (of: Float64Array): number =>
      (of[k] as number) + (place - k) * ((of[k + 1] as number) - (of[k] as number));
    return { expected: between(expected), variance: between(variance) };
  };
};
