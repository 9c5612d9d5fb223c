import type { RandomFactor } from './mixed/crossProducts.ts';
import { type MixtureEffects, mixtureEffects } from './mixed/mixtureEffects.ts';
import { chanceOfWide, type MixturePrior } from './robust/mixturePrior.ts';

/** Group codes of all tests: people, rooms, and each of them with the item. */
export type PeopleCodes = {
  cutter: Coded;
  store: Coded;
  cutterItem: Coded;
  storeItem: Coded;
};
type Coded = { codes: Int32Array; levels: number };

/** Posterior of one level as a mixture of two normals, and what it rests on. All in the unit of the residuals. */
export type LevelEstimate = {
  parts: readonly { share: number; mean: number; sd: number }[];
  mean: number;
  sd: number;
  /** Difference seen before shrinking, other effects taken out, and its SD. */
  difference: number;
  differenceSd: number;
  /** 1 - variance / prior variance, for one who is like the many. */
  reliability: number;
  /** Prior variance of the many and variance of one test: what tests needed are counted from. */
  between: number;
  within: number;
};
export type FairEffects = {
  cutterItem: LevelEstimate[];
  storeItem: LevelEstimate[];
  cutter: LevelEstimate[];
  store: LevelEstimate[];
  /** By item: what cutters and stores like the many differ from expected by; few large habits move a mean, not this. */
  center: Float64Array;
  converged: boolean;
};

const huberK = 1.345;
const reweightRounds = 2;

/**
 * Fair differences of cutters and stores, per item and over all items, from residuals of tests with known SDs: crossed
 * effects cutter x item, cutter, store x item and store with mixture priors, so that a whole room that differs is the
 * room's, a habit is not shrunk away, and what cannot be told apart is left wide. Tests are bounded (Huber), effects never.
 */
export const fairEffects = (
  residual: Float64Array,
  sd: Float64Array,
  { people, item }: { people: PeopleCodes; item: Coded },
): FairEffects => {
  const varying = [...sd.keys()].filter((i) => (sd[i] as number) > 0);
  const chosen = (values: Float64Array): Float64Array =>
    Float64Array.from(varying, (i) => values[i] as number);
  const part = ({ codes, levels }: Coded): Coded => ({
    codes: Int32Array.from(varying, (i) => codes[i] as number),
    levels,
  });
  const own: PeopleCodes = {
    cutter: part(people.cutter),
    store: part(people.store),
    cutterItem: part(people.cutterItem),
    storeItem: part(people.storeItem),
  };
  if (varying.length === 0) return nothingVaries(people, item.levels);
  const found = varyingEffects(chosen(residual), chosen(sd), { people: own, item: part(item) });
  const seen = ({ codes, levels }: Coded): boolean[] => {
    const is = new Array<boolean>(levels).fill(false);
    for (const code of codes) is[code] = true;
    return is;
  };
  const zeroUnseen = (key: keyof PeopleCodes): LevelEstimate[] => {
    const is = seen(own[key]);
    return found[key].map((estimate, g) => (is[g] === true ? estimate : alike));
  };
  return {
    cutterItem: zeroUnseen('cutterItem'),
    storeItem: zeroUnseen('storeItem'),
    cutter: zeroUnseen('cutter'),
    store: zeroUnseen('store'),
    center: found.center,
    converged: found.converged,
  };
};

/** The estimate where an outcome is the same in every test (bone of a boneless item): known to be no difference. */
const alike: LevelEstimate = {
  parts: [{ share: 1, mean: 0, sd: 0 }],
  mean: 0,
  sd: 0,
  difference: 0,
  differenceSd: 0,
  reliability: 1,
  between: 0,
  within: 0,
};

const nothingVaries = (people: PeopleCodes, items: number): FairEffects => {
  const all = ({ levels }: Coded): LevelEstimate[] => new Array<LevelEstimate>(levels).fill(alike);
  return {
    cutterItem: all(people.cutterItem),
    storeItem: all(people.storeItem),
    cutter: all(people.cutter),
    store: all(people.store),
    center: new Float64Array(items),
    converged: true,
  };
};

const varyingEffects = (
  residual: Float64Array,
  sd: Float64Array,
  { people, item }: { people: PeopleCodes; item: Coded },
): FairEffects => {
  let bounded: Bounded = { weights: new Float64Array(residual.length).fill(1), noise: 1 };
  let perItem = fitCells(residual, sd, { ...bounded, factors: itemFactors(people), item });
  for (let round = 0; round < reweightRounds; round++) {
    bounded = boundedTests(residual, sd, perItem);
    const begin = perItem.found.factors.map((own) => own.prior);
    perItem = fitCells(residual, sd, { ...bounded, factors: itemFactors(people), item, begin });
  }
  const center = perItem.center;
  const whole = fitCells(
    residual.map((value, i) => value - (center[item.codes[i] as number] as number)),
    sd,
    {
      ...bounded,
      factors: wholeFactors(people),
      item: { codes: new Int32Array(residual.length), levels: 1 },
    },
  );
  const mates = {
    cutter: parentsOf(people.cutterItem, people.cutter),
    store: parentsOf(people.storeItem, people.store),
  };
  const testVariance = meanBy(
    Float64Array.from(sd, (value) => value * value),
    people,
  );
  return {
    cutterItem: estimates(perItem.found, [0, 2], mates.cutter, testVariance.cutterItem),
    storeItem: estimates(perItem.found, [1, 3], mates.store, testVariance.storeItem),
    cutter: estimates(whole.found, [0], undefined, testVariance.cutter),
    store: estimates(whole.found, [1], undefined, testVariance.store),
    center,
    converged: perItem.found.converged && whole.found.converged,
  };
};

/** Huber weights and by how much the variance of a weighted mean exceeds sd^2 over the sum of weights. */
type Bounded = { weights: Float64Array; noise: number };

/**
 * Tests bounded about their own cell's Huber location; about the fitted one only in cells of fewer than 4, as bounding about
 * a shrunken center would shrink every cell once more. Noise: E psi^2 E w / (E psi')^2 from the residuals themselves, so
 * that heavy tails are paid for (Huber 1964), with the freedom that cell centers take.
 */
const boundedTests = (
  residual: Float64Array,
  sd: Float64Array,
  { cellOf, cellEffect }: Pick<CellFit, 'cellOf' | 'cellEffect'>,
): Bounded => {
  const { center, sizes } = cellLocations(residual, sd, { cellOf, start: cellEffect });
  const standardized = residual.map(
    (value, i) => (value - (center[cellOf[i] as number] as number)) / (sd[i] as number),
  );
  const weights = standardized.map(huberWeight);
  const mean = (value: (z: number, w: number) => number): number =>
    standardized.reduce((sum, z, i) => sum + value(z, weights[i] as number), 0) / standardized.length;
  const inside = mean((_, w) => (w === 1 ? 1 : 0));
  const ownCenters = sizes.reduce((sum, size) => sum + (size >= fewestForOwnCenter ? 1 : 0), 0);
  const freedom = residual.length / Math.max(1, residual.length - ownCenters);
  const noise = (freedom * mean((z, w) => (w * z) ** 2) * mean((_, w) => w)) / (inside * inside);
  return { weights, noise: Math.max(noise, 0.5) };
};

const fewestForOwnCenter = 4;
const locationRounds = 12;
const huberWeight = (standardized: number): number =>
  Math.min(1, huberK / Math.max(Math.abs(standardized), 1e-300));

/** Huber location of each cell with 4 tests or more (known SDs), the start elsewhere; and how many tests each cell has. */
const cellLocations = (
  residual: Float64Array,
  sd: Float64Array,
  { cellOf, start }: { cellOf: Int32Array; start: Float64Array },
): { center: Float64Array; sizes: Float64Array } => {
  const sizes = new Float64Array(start.length);
  for (const c of cellOf) sizes[c] = (sizes[c] as number) + 1;
  let center = Float64Array.from(start);
  for (let round = 0; round < locationRounds; round++) {
    const sums = new Float64Array(start.length);
    const totals = new Float64Array(start.length);
    for (const [i, c] of cellOf.entries()) {
      const s = sd[i] as number;
      const w = huberWeight(((residual[i] as number) - (center[c] as number)) / s) / (s * s);
      sums[c] = (sums[c] as number) + w * (residual[i] as number);
      totals[c] = (totals[c] as number) + w;
    }
    center = center.map((value, c) =>
      (sizes[c] as number) >= fewestForOwnCenter ? (sums[c] as number) / (totals[c] as number) : value,
    );
  }
  return { center, sizes };
};

type CellFactor = Coded & { hasOutliers: boolean };

const itemFactors = (people: PeopleCodes): CellFactor[] => [
  { ...people.cutterItem, hasOutliers: true },
  { ...people.storeItem, hasOutliers: true },
  { ...people.cutter, hasOutliers: true },
  { ...people.store, hasOutliers: false },
];
const wholeFactors = (people: PeopleCodes): CellFactor[] => [
  { ...people.cutter, hasOutliers: true },
  { ...people.store, hasOutliers: true },
];

type CellFit = {
  found: MixtureEffects;
  cellOf: Int32Array;
  /** Everything fitted, by cell, and the fixed part of it by item. */
  cellEffect: Float64Array;
  center: Float64Array;
};

/** Tests of the same levels in all factors are one cell: its bounded mean and the precision of that mean. */
const fitCells = (
  residual: Float64Array,
  sd: Float64Array,
  options: {
    weights: Float64Array;
    noise: number;
    factors: CellFactor[];
    item: Coded;
    begin?: readonly MixturePrior[];
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
    options.begin === undefined ? {} : { begin: options.begin },
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

/** Code of the parent (cutter, store) of each child level (cutter x item, store x item). */
const parentsOf = (child: Coded, parent: Coded): Int32Array => {
  const parents = new Int32Array(child.levels);
  for (const [i, code] of child.codes.entries()) parents[code] = parent.codes[i] as number;
  return parents;
};

const meanBy = (values: Float64Array, people: PeopleCodes): Record<keyof PeopleCodes, Float64Array> => {
  const means = ({ codes, levels }: Coded): Float64Array => {
    const sums = new Float64Array(levels);
    const counts = new Float64Array(levels);
    for (const [i, code] of codes.entries()) {
      sums[code] = (sums[code] as number) + (values[i] as number);
      counts[code] = (counts[code] as number) + 1;
    }
    return sums.map((sum, g) => sum / (counts[g] as number));
  };
  return {
    cutter: means(people.cutter),
    store: means(people.store),
    cutterItem: means(people.cutterItem),
    storeItem: means(people.storeItem),
  };
};

/**
 * Posterior of own + parent effect as a two-part mixture: the own effect's parts by its prior, the rest given the own
 * effect is normal and the same for both (linear in it).
 */
const estimates = (
  found: MixtureEffects,
  [own, above]: readonly [number, number?],
  parents: Int32Array | undefined,
  testVariance: Float64Array,
): LevelEstimate[] => {
  const level = found.factors[own] as MixtureEffects['factors'][number];
  const parent = above === undefined ? undefined : found.factors[above];
  return Array.from(level.mean, (_, l): LevelEstimate => {
    const variance = level.variance[l] as number;
    const p = parents?.[l] ?? -1;
    const shared = parent === undefined || above === undefined ? 0 : found.covariance([own, l], [above, p]);
    const slope = 1 + shared / variance;
    const parentMean = parent === undefined ? 0 : (parent.mean[p] as number);
    const parentVariance = parent === undefined ? 0 : (parent.variance[p] as number);
    const total = {
      mean: (level.mean[l] as number) + parentMean,
      variance: variance + 2 * shared + parentVariance,
    };
    const noise = level.noise[l] as number;
    const gap = level.estimate[l] as number;
    const wide = chanceOfWide(gap, noise, level.prior);
    const parts = [level.prior.narrow, level.prior.narrow + level.prior.wide].map((prior, k) => {
      const kept = Number.isFinite(noise) ? prior / (prior + noise) : 0;
      const rest = Math.max(0, total.variance - slope * slope * variance);
      return {
        share: k === 0 ? 1 - wide : wide,
        mean: total.mean + slope * (kept * gap - (level.mean[l] as number)),
        sd: Math.sqrt(rest + slope * slope * prior * (1 - kept)),
      };
    });
    const mean = parts.reduce((sum, part) => sum + part.share * part.mean, 0);
    const square = parts.reduce((sum, part) => sum + part.share * (part.sd ** 2 + part.mean ** 2), 0);
    const between = level.prior.narrow + (parent?.prior.narrow ?? 0);
    return {
      parts,
      mean,
      sd: Math.sqrt(Math.max(0, square - mean * mean)),
      difference: gap + parentMean,
      differenceSd: Math.sqrt(noise),
      reliability: Math.max(0, 1 - (parts[0] as { sd: number }).sd ** 2 / between),
      between,
      within: testVariance[l] as number,
    };
  });
};
