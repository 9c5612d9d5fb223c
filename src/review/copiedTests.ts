import type { CellFits } from './cellFits.ts';
import { logDensity } from './cellFits.ts';
import { squaredLength } from './cholesky.ts';
import type { LineCell, LineCells } from './lineCells.ts';
import { drainedOf, type PieceSize, pieceKgOf } from './pieceSize.ts';
import type { ReviewFacts } from './reviewFacts.ts';
import type { TScatter } from './tScatter.ts';

/** A test that repeats an earlier one of the same cutter, and how likely it was copied. */
export type Copy = { test: number; from: number; chance: number };

/** Share of tests copied: our choice; common practice, no source. Half of them are taken to repeat the cutter's last test. */
const copiedShare = 2e-3;
const lastShare = 0.5;
/**
 * How a copied line differs from its original: not at all, moved by a division or three, retouched, or changed; share of lines,
 * SD relative to the line and in divisions.
 */
const touches: [number, number, number][] = [
  [0.65, 0, 0],
  [0.2, 0, 2],
  [0.1, 0.004, 0],
  [0.05, 0.03, 0],
];
/** What came in, where it was copied too: as it was, or moved by so many divisions (SD). Purge goes with it in four of five. */
const sameWhole = 0.6;
const movedWhole = 2;
const purgeToo = 0.8;
/** Density of purge over its logarithm where it is densest, and how often two of a cutter are equal at the least. */
const purgeDensity = 0.8;
const leastEqual = 0.05;
/** Share of copies in which the received weight was copied too. */
const wholeShare = 0.5;

export type CopyQuestion = {
  facts: ReviewFacts;
  lines: LineCells;
  fits: CellFits;
  sizes: readonly PieceSize[];
  widening: Float64Array;
};

/**
 * Tests of a cutter whose lines repeat an earlier test's of the same cell, weight for weight or share for share, more closely
 * than two pieces cut by one hand would: Bayes over all its earlier tests, against how the cutter's own tests scatter.
 * `isAsked` leaves out tests that are set aside anyway. Chance over `least` only.
 */
export const copiedTests = (
  question: CopyQuestion,
  isAsked: (i: number) => boolean,
  least: number,
): Copy[] => {
  const { facts, lines, fits } = question;
  const copies: Copy[] = [];
  for (const [code, cell] of lines.cells.entries()) {
    const fit = fits.scatters[code];
    if (fit === undefined || cell.outputs.length < 3) continue;
    for (const members of byCutter(cell, facts, fits))
      for (const copy of copiesAmong(question, fit, members))
        if (copy.chance >= least && isAsked(copy.test)) copies.push(copy);
  }
  return copies;
};

const copiesAmong = (question: CopyQuestion, fit: TScatter, members: readonly number[]): Copy[] =>
  members.slice(1).map((i, place) => copyOf(question, fit, { i, earlier: members.slice(0, place + 1) }));

const byCutter = (cell: LineCell, facts: ReviewFacts, fits: CellFits): number[][] => {
  const groups = new Map<string, number[]>();
  for (const i of cell.members) {
    if (!Number.isFinite(fits.distance[i] as number)) continue;
    const own = groups.get(facts.cutter[i] as string);
    if (own === undefined) groups.set(facts.cutter[i] as string, [i]);
    else own.push(i);
  }
  const isEarlier = (a: number, b: number): number =>
    (facts.day[a] as number) - (facts.day[b] as number) || a - b;
  return [...groups.values()].filter((own) => own.length > 1).map((own) => own.sort(isEarlier));
};

const copyOf = (
  question: CopyQuestion,
  fit: TScatter,
  { i, earlier }: { i: number; earlier: readonly number[] },
): Copy => {
  const { facts, lines } = question;
  const independent = independentDensity(question, fit, i);
  const from = lines.start[i] as number;
  const drained = drainedOf(facts, i);
  const sizeDensity = sizeOf(question, i);
  const prior = (place: number): number =>
    copiedShare * ((1 - lastShare) / earlier.length + (place === earlier.length - 1 ? lastShare : 0));
  let odds = 0;
  let best = -1;
  let most = 0;
  for (const [place, other] of earlier.entries()) {
    const otherFrom = lines.start[other] as number;
    const otherDrained = drainedOf(facts, other);
    const ratio = drained / otherDrained;
    const division = facts.divisionKg[i] as number;
    const byShare = copyDensity(lines.kg, { k: fit.k, from, otherFrom, factor: ratio, division, drained });
    if (byShare === undefined && Math.abs(ratio - 1) > 0.05) continue;
    const byWeight = copyDensity(lines.kg, { k: fit.k, from, otherFrom, factor: 1, division, drained });
    const whole = wholeOdds(question.facts, i, other) - Math.log(division / drained) - sizeDensity;
    const density =
      (1 - wholeShare) * Math.exp((byShare ?? Number.NEGATIVE_INFINITY) - independent) +
      wholeShare * Math.exp((byWeight ?? Number.NEGATIVE_INFINITY) + whole - independent);
    const own = prior(place) * density;
    odds += own;
    if (own > most) [most, best] = [own, other];
  }
  return { test: i, from: best, chance: odds / (1 + odds) };
};

/** Log chance of what came in where it was copied with the lines, with the odds that its purge was: both as written, in divisions. */
const wholeOdds = (facts: ReviewFacts, i: number, other: number): number => {
  const division = facts.divisionKg[i] as number;
  const chanceOf = (weights: Float64Array): number =>
    movedChance(((weights[i] as number) - (weights[other] as number)) / division);
  const purge = facts.purgeKg[i] as number;
  const equal = Math.min(1, Math.max(leastEqual, (purgeDensity * division) / purge));
  const isKnown = facts.weighed[i] === 'in-bag' && facts.weighed[other] === 'in-bag';
  const purgeOdds = isKnown ? 1 - purgeToo + (purgeToo * chanceOf(facts.purgeKg)) / equal : 1;
  return Math.log(chanceOf(facts.receivedKg) * purgeOdds);
};

const movedChance = (divisions: number): number =>
  (Math.abs(divisions) < 0.5 ? sameWhole : 0) +
  ((1 - sameWhole) / movedWhole / Math.sqrt(2 * Math.PI)) * Math.exp(-0.5 * (divisions / movedWhole) ** 2);

/** Log density of the test's mean piece weight per log weight, had it been weighed. */
const sizeOf = ({ facts, sizes }: CopyQuestion, i: number): number => {
  const size = sizes[facts.piece.codes[i] as number] as PieceSize;
  return size.logDensity(pieceKgOf(facts, i));
};

const ownShare = 0.5;

/** Log density of the test's shares, had it been weighed: as expected, or as the cutter's own tests lie, equally likely. */
const independentDensity = ({ lines, fits, widening }: CopyQuestion, fit: TScatter, i: number): number => {
  const wide = widening[i] as number;
  const common = logDensity(fit, (fits.distance[i] as number) * wide, wide);
  const way = fits.ownWay(i);
  if (way === undefined) return common;
  const from = lines.start[i] as number;
  const about = Float64Array.from(way.offset, (value, j) => (fits.residual[from + j] as number) - value);
  const distance = squaredLength(fit.lower, about, { k: fit.k, from: 0, scratch: new Float64Array(fit.k) });
  const own = logDensity(fit, distance, way.spread * wide);
  return Math.log((1 - ownShare) * Math.exp(common) + ownShare * Math.exp(own));
};

/**
 * Log density of the shares of a copy whose original's lines were multiplied by `factor`; undefined where a line differs by
 * more than a tenth and 5 divisions, which no copy does.
 */
const copyDensity = (
  kg: Float64Array,
  at: { k: number; from: number; otherFrom: number; factor: number; division: number; drained: number },
): number | undefined => {
  let log = 0;
  const rounding = (at.division ** 2 * (1 + at.factor ** 2)) / 12;
  for (let j = 0; j < at.k; j++) {
    const own = kg[at.from + j] as number;
    const off = own - (kg[at.otherFrom + j] as number) * at.factor;
    if (Math.abs(off) > 0.1 * own + 5 * at.division) return undefined;
    let density = 0;
    for (const [share, size, divisions] of touches) {
      const variance = rounding + (size * own) ** 2 + (divisions * at.division) ** 2;
      density += (share * Math.exp((-off * off) / 2 / variance)) / Math.sqrt(2 * Math.PI * variance);
    }
    log += Math.log(density * at.drained);
  }
  return log;
};
