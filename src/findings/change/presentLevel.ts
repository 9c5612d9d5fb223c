import type { Outcome } from '../../catalog/outcomes.ts';
import type { LevelChange } from './levelChanges.ts';
import { type LevelPrior, levelPosterior, levelPrior } from './levelPrior.ts';
import type { TimeLevels } from './timeLevels.ts';

/** A size with its SD, in SDs of one test. */
export type Size = { mean: number; sd: number };
/**
 * What a change is told with, in SDs of one test of each item. `fall`: the level after less the shrunken level before; a
 * change is found where luck was high before and low after, so that the raw contrast is too large. `present`: the shrunken
 * level after, which is what is lost today against expected.
 */
export type PresentLevel = { fall: Size; present: Size };

const fewestTests = 3;
/** Tests are bounded as in the model: Huber's k for 95 % efficiency, so a mean's variance is 1 / 0.95 of the plain one's. */
const huberK = 1.345;
const huberNoise = 1 / 0.95;
const locationRounds = 12;

/** Sizes of changes on an outcome; undefined where no item has tests on both sides. Priors are fitted once and kept. */
export const presentLevels = (
  levels: TimeLevels,
): ((change: LevelChange, outcome: Outcome) => PresentLevel | undefined) => {
  const priors = new Map<string, LevelPrior>();
  return (change, outcome) => {
    const key = `${outcome} ${change.item}`;
    const prior = priors.get(key) ?? fittedPrior(levels, change.item, outcome);
    priors.set(key, prior);
    return presentLevel(levels, change, { outcome, prior });
  };
};

/** Each item is held against itself, items weighted by what they tell of the change. */
const presentLevel = (
  levels: TimeLevels,
  change: LevelChange,
  { outcome, prior }: { outcome: Outcome; prior: LevelPrior },
): PresentLevel | undefined => {
  const variancePerTest = huberNoise * levels.scale[outcome] ** 2;
  const [before, after] = [
    sumsByItem(levels, change.before, outcome),
    sumsByItem(levels, change.after, outcome),
  ];
  let [total, meanBefore, meanAfter, noiseBefore, noiseAfter] = [0, 0, 0, 0, 0];
  for (const [item, { n, sum }] of before) {
    const then = after.get(item);
    if (then === undefined) continue;
    const weight = 1 / (1 / n + 1 / then.n);
    total += weight;
    meanBefore += (weight * sum) / n;
    meanAfter += (weight * then.sum) / then.n;
    noiseBefore += weight ** 2 / n;
    noiseAfter += weight ** 2 / then.n;
  }
  if (total === 0) return undefined;
  const variance = (noise: number): number => (variancePerTest * noise) / total ** 2;
  const earlier = levelPosterior(meanBefore / total, variance(noiseBefore), prior);
  const own = [...after.values()];
  const tests = own.reduce((count, { n }) => count + n, 0);
  const present = levelPosterior(
    own.reduce((all, { sum }) => all + sum, 0) / tests,
    variancePerTest / tests,
    prior,
  );
  return {
    fall: {
      mean: meanAfter / total - earlier.mean,
      sd: Math.hypot(earlier.sd, Math.sqrt(variance(noiseAfter))),
    },
    present: { mean: present.mean, sd: present.sd },
  };
};

type Sums = Map<number, { n: number; sum: number }>;

/** Standardized tests counted and added up by item, bounded about the middle of them all: a wrong sheet or two are no level. */
const sumsByItem = ({ people, left, scale }: TimeLevels, places: Int32Array, outcome: Outcome): Sums => {
  const sd = people.sd[outcome];
  const own = places.filter((i) => (sd[i] as number) > 0);
  const values = Float64Array.from(own, (i) => (left[outcome][i] as number) / (sd[i] as number));
  const sums: Sums = new Map();
  for (const [k, value] of bounded(values, huberK * scale[outcome]).entries()) {
    const item = people.item.codes[own[k] as number] as number;
    const known = sums.get(item) ?? { n: 0, sum: 0 };
    sums.set(item, { n: known.n + 1, sum: known.sum + value });
  }
  return sums;
};

/** Values no farther than `reach` from their Huber location, of which they then have the mean (Huber 1964 Ann. Math. Statist. 35:73). */
const bounded = (values: Float64Array, reach: number): Float64Array => {
  let center = Float64Array.from(values).sort()[values.length >> 1] ?? 0;
  const within = (value: number): number => Math.min(center + reach, Math.max(center - reach, value));
  for (let round = 0; round < locationRounds; round++)
    center = values.reduce((sum, value) => sum + within(value), 0) / values.length;
  return values.map(within);
};

/** How the levels of the chain's cutters lie, on all items (-1) or on one, from the means of all their tests. */
const fittedPrior = (levels: TimeLevels, item: number, outcome: Outcome): LevelPrior => {
  const { people, scale } = levels;
  const means = people.ofCutter.flatMap((places) => {
    const own = places.filter((i) => item < 0 || people.item.codes[i] === item);
    const sums = [...sumsByItem(levels, own, outcome).values()];
    const n = sums.reduce((count, one) => count + one.n, 0);
    return n < fewestTests ? [] : [{ n, mean: sums.reduce((all, { sum }) => all + sum, 0) / n }];
  });
  return levelPrior(
    means.map(({ mean }) => mean),
    means.map(({ n }) => (huberNoise * scale[outcome] ** 2) / n),
  );
};
