import { gammaln, median, quantileSorted } from 'simple-statistics';
import { chiSquaredQuantile } from '../tables/gammaDistribution.ts';
import type { ReviewFacts } from './reviewFacts.ts';

/** How likely a mean piece weight is for an item, spec and treatment. */
export type PieceSize = {
  /** Log density over log weight. */
  logDensity: (pieceKg: number) => number;
  /** Farther from the middle than any piece of the kind is: the weight cannot be true. */
  isImpossible: (pieceKg: number) => boolean;
};

const fewest = 8;
const leastReach = 0.06;
/** Weights are known about their median by how far the 2 and 98 % points lie from it, and their tails by how far the 16 and 84 % ones. */
const outer = 0.02;
const inner = 0.16;
/** Powers of the tails that are tried: 2 is normal, 1 has long ones, 4 nearly none. Kinds of fewer tests say nothing about them. */
const powers = [1, 1.5, 2, 2.5, 3, 4];
const fewestForTail = 100;
/** A side read off one quantile of n weights is known as well as from n / 5 deviations (asymptotic variance). */
const testsPerFreedom = 5;
const leastFreedom = 3;
/** Density below that of the middle, logs, at which a piece is none of the kind; nor is one of a fifth of the middle. */
const farthest = 10;
const smallest = 0.2;

/** Log SD of odd pieces, such as those of another item or a wrong count of pieces: mostly within a factor of 3. */
const oddSpread = 0.6;
/** A piece that a unit or decimal slip makes of one this near the middle says little about how common odd pieces are. */
const nearSlip = 6;
const slips = [2.20462262, 10, 16, 35.27396].flatMap((factor) => [factor, 1 / factor]);
/** Before a night says otherwise three pieces in 100,000 are odd: our choice, worth 500 tests; common practice, no source. */
const oddPrior = { share: 3e-5, tests: 500 };
/** So many pieces near a slip, one in fifty, are taken for slips; what a kind has more of are pieces of it. */
const slipsOf = (n: number): number => 2 + 0.02 * n;

type Usual = { n: number; center: number; below: number; above: number };
/** exp(-rate t^power), t in reaches (middle to outer point): 2 % lie beyond 1 on each side. */
type Tail = { power: number; rate: number };

/**
 * Sizes by piece kind: about the median of used tests, on the weight itself (in the logarithm a light piece of a wide range looks
 * impossible), either side as wide as its 2 or 98 % point says; tails as long as the chain's ranges have them (exponential power
 * density; Box & Tiao 1973, from memory); with a share of odd pieces, estimated from the whole night and from the kind. Even everywhere with
 * fewer than 8 used tests: then weight alone decides nothing.
 */
export const pieceSizes = (facts: ReviewFacts): PieceSize[] => {
  const used: number[][] = facts.piece.levels.map(() => []);
  // where the lines do not add up, what came in is in doubt
  const all: number[][] = facts.piece.levels.map(() => []);
  for (let i = 0; i < facts.n; i++) {
    const kg = pieceKgOf(facts, i);
    if (!(kg > 0 && Number.isFinite(kg))) continue;
    const isBalanced = facts.state[i] === 'used' || facts.reasons[i] === 'weight-out-of-range';
    if (isBalanced) all[facts.piece.codes[i] as number]?.push(kg);
    if (facts.state[i] === 'used') used[facts.piece.codes[i] as number]?.push(kg);
  }
  const sorted = used.map((kg) => kg.sort((a, b) => a - b));
  const usual = sorted.map(usualSize);
  const tail = tailOf(sorted);
  const odd = oddShares(all, usual, tail);
  return usual.map((own, kind) =>
    own === undefined ? unknownSize : sizeOf(own, { tail, odd: odd[kind] as number }),
  );
};

const unknownSize: PieceSize = { logDensity: () => -Math.log(3), isImpossible: () => false };

const usualSize = (sorted: number[]): Usual | undefined => {
  if (sorted.length < fewest) return undefined;
  const [low, center, high] = [outer, 0.5, 1 - outer].map((share) => quantileSorted(sorted, share)) as [
    number,
    number,
    number,
  ];
  const reachOf = (reach: number): number => Math.max(leastReach * center, reach);
  return { n: sorted.length, center, below: reachOf(center - low), above: reachOf(high - center) };
};

/** How long the chain's ranges reach beyond where most pieces lie, both sides of all kinds together. */
const tailOf = (sorted: readonly number[][]): Tail => {
  let [sum, n] = [0, 0];
  for (const kg of sorted) {
    if (kg.length < fewestForTail) continue;
    const apart = (share: number): number => quantileSorted(kg, 1 - share) - quantileSorted(kg, share);
    if (!(apart(inner) > 0)) continue;
    sum += kg.length * Math.log(apart(outer) / apart(inner));
    n += kg.length;
  }
  const off = (power: number): number =>
    Math.abs(Math.log(rateOf(power, outer) / rateOf(power, inner)) / power - sum / n);
  const power = n === 0 ? 2 : powers.reduce((best, tried) => (off(tried) < off(best) ? tried : best));
  return { power, rate: rateOf(power, outer) };
};

/** rate x t^power beyond which this share of an exponential power density lies on each side. */
const rateOf = (power: number, beyond: number): number => chiSquaredQuantile(1 - 2 * beyond, 2 / power) / 2;

/** How far the density at a weight lies below that of the middle, logs. */
const depth = ({ center, below, above }: Usual, { power, rate }: Tail, kg: number): number =>
  rate * (Math.abs(kg - center) / (kg < center ? below : above)) ** power;

const isFar = (usual: Usual, tail: Tail, kg: number): boolean =>
  kg < smallest * usual.center || depth(usual, tail, kg) > farthest;

const oddShares = (all: readonly number[][], usual: readonly (Usual | undefined)[], tail: Tail): number[] => {
  let [odd, n] = [0, 0];
  const near = all.map((kg, kind) => {
    const own = usual[kind];
    if (own === undefined) return 0;
    const far = kg.filter((value) => isFar(own, tail, value));
    const likeSlips = far.filter((value) => slips.some((slip) => depth(own, tail, value / slip) < nearSlip));
    n += kg.length;
    odd += far.length - likeSlips.length;
    return likeSlips.length;
  });
  const share = (odd + oddPrior.share * oddPrior.tests) / (n + oddPrior.tests);
  return near.map((count, kind) => {
    const own = (all[kind] as number[]).length;
    return (Math.max(0, count - slipsOf(own)) + share * oddPrior.tests) / (own + oddPrior.tests);
  });
};

const sizeOf = (usual: Usual, { tail, odd }: { tail: Tail; odd: number }): PieceSize => {
  // few tests leave the reach unknown: as a t stands to a normal density
  const known = Math.max(leastFreedom, usual.n / testsPerFreedom) / 2;
  const width = (usual.below + usual.above) / tail.rate ** (1 / tail.power);
  const constant = Math.log(1 - odd) + Math.log(tail.power / width) - gammaln(1 / tail.power);
  return {
    logDensity: (pieceKg) => {
      const fall = (known + 0.5) * Math.log1p(depth(usual, tail, pieceKg) / known);
      const usualDensity = pieceKg < smallest * usual.center ? 0 : pieceKg * Math.exp(constant - fall);
      const off = Math.log(pieceKg / usual.center) / oddSpread;
      const oddDensity = (odd / oddSpread / Math.sqrt(2 * Math.PI)) * Math.exp(-0.5 * off * off);
      return Math.log(usualDensity + oddDensity);
    },
    isImpossible: (pieceKg) => isFar(usual, tail, pieceKg),
  };
};

/** Median purge of used tests weighed in the bag, share of what came in; NaN where none is known. */
export const usualPurgeShare = (facts: ReviewFacts): number => {
  const shares = Array.from(facts.purgeKg, (kg, i) =>
    facts.state[i] === 'used' && facts.weighed[i] === 'in-bag' ? kg / (facts.receivedKg[i] as number) : 0,
  ).filter((share) => share > 0);
  return shares.length === 0 ? Number.NaN : median(shares);
};

/** Mean piece weight as sent, kg; NaN when it is not known. */
export const pieceKgOf = (facts: ReviewFacts, i: number): number =>
  drainedOf(facts, i) / (facts.pieces[i] as number);

/** Drained weight as sent, kg; NaN when it is not known. */
export const drainedOf = (facts: ReviewFacts, i: number): number => {
  const received = facts.receivedKg[i] as number;
  if (facts.weighed[i] === 'in-bag') return received - (facts.purgeKg[i] as number);
  return facts.weighed[i] === 'drained' ? received : Number.NaN;
};
