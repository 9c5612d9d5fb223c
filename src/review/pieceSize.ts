import { quantileSorted } from 'simple-statistics';
import type { ReviewFacts } from './reviewFacts.ts';

/** How likely a mean piece weight is for an item, spec and treatment: log density over log weight. */
export type PieceSize = (pieceKg: number) => number;

const fewest = 8;
const leastScale = 0.03;
/** Range of log weights over which odd pieces are taken to lie evenly: a factor of about 20. */
const oddRange = 3;
/** Pieces nearer than this to a unit or decimal slip say nothing about how common odd pieces are, log units. */
const nearSlip = 0.35;
const slips = [Math.log(2.20462262), Math.log(10), Math.log(16), Math.log(35.27396)];
/** Before a night says otherwise three pieces in 100,000 are odd: our choice, worth 500 tests; common practice, no source. */
const oddPrior = { share: 3e-5, tests: 500 };
/** Standard normal at 0.98: 96 in 100 pieces lie within the center +- this many scales. */
const z98 = 2.053749;

type Usual = { center: number; scale: number };

/**
 * Sizes by piece kind: normal in log weight about the median, its scale from the 2 and 98 % points of used tests (ranges
 * bought have short tails), and an even share of odd pieces, estimated from the whole night (tests beyond 5 scales and not
 * where a unit or decimal slip would put them). Even everywhere with fewer than 8 used tests: then weight alone decides
 * nothing.
 */
export const pieceSizes = (facts: ReviewFacts): PieceSize[] => {
  const used: number[][] = facts.piece.levels.map(() => []);
  const logKg = Float64Array.from({ length: facts.n }, (_, i) =>
    Math.log(drainedOf(facts, i) / (facts.pieces[i] as number)),
  );
  for (const [i, value] of logKg.entries())
    if (facts.state[i] === 'used' && Number.isFinite(value))
      used[facts.piece.codes[i] as number]?.push(value);
  const usual = used.map(usualSize);
  const odd = oddShare(facts, logKg, usual);
  return usual.map((own) => (own === undefined ? () => -Math.log(oddRange) : sizeDensity(own, odd)));
};

const usualSize = (logs: readonly number[]): Usual | undefined => {
  if (logs.length < fewest) return undefined;
  const sorted = Float64Array.from(logs).sort() as unknown as number[];
  const [low, center, high] = [0.02, 0.5, 0.98].map((share) => quantileSorted(sorted, share)) as [
    number,
    number,
    number,
  ];
  return { center, scale: Math.max(leastScale, (high - low) / 2 / z98) };
};

const oddShare = (facts: ReviewFacts, logKg: Float64Array, usual: readonly (Usual | undefined)[]): number => {
  let odd = 0;
  let all = 0;
  for (const [i, value] of logKg.entries()) {
    const own = usual[facts.piece.codes[i] as number];
    if (own === undefined || !Number.isFinite(value)) continue;
    const off = Math.abs(value - own.center);
    all += 1;
    if (off > 5 * own.scale && off < oddRange && slips.every((slip) => Math.abs(off - slip) > nearSlip))
      odd += 1;
  }
  return (odd + oddPrior.share * oddPrior.tests) / (all + oddPrior.tests);
};

const sizeDensity = ({ center, scale }: Usual, odd: number): PieceSize => {
  const constant = Math.log(1 - odd) - Math.log(scale) - 0.5 * Math.log(2 * Math.PI);
  const oddDensity = odd / oddRange;
  return (pieceKg) => {
    const z = (Math.log(pieceKg) - center) / scale;
    return Math.log(Math.exp(constant - 0.5 * z * z) + oddDensity);
  };
};

/** Drained weight as sent, kg; NaN when it is not known. */
export const drainedOf = (facts: ReviewFacts, i: number): number => {
  const received = facts.receivedKg[i] as number;
  if (facts.weighed[i] === 'in-bag') return received - (facts.purgeKg[i] as number);
  return facts.weighed[i] === 'drained' ? received : Number.NaN;
};
