import { median } from 'simple-statistics';
import type { CellFits } from './cellFits.ts';
import type { LineCell, LineCells } from './lineCells.ts';
import { drainedOf, type PieceSize, pieceKgOf } from './pieceSize.ts';
import type { ReviewFacts } from './reviewFacts.ts';
import { type TrueSheet, tDensity, trueSheet } from './sheetLikelihood.ts';
import type { TScatter } from './tScatter.ts';

/**
 * A test that repeats an earlier one of the same cutter, and how likely it was copied; `alike` of its lines are the earlier one's
 * weights or, where `isByShare`, its shares of what came in written out for this piece, to the division.
 */
export type Copy = {
  test: number;
  from: number;
  chance: number;
  isByShare: boolean;
  alike: number;
  lines: number;
};

/** Share of tests copied: our choice; common practice, no source. Half of them are taken to repeat the cutter's last test. */
const copiedShare = 2e-3;
const rounds = 20;
const lastShare = 0.5;
/** Share of copied lines that are their original's, to the rounding of what is written. */
const untouched = 0.65;
/**
 * How the others differ from their original: moved by a division or three, retouched, or changed; share of lines, SD relative to
 * the line and in divisions.
 */
const touches: [number, number, number][] = [
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
  const likenesses: Likeness[] = [];
  const divisionOf = (i: number): number => facts.divisionKg[i] as number;
  for (const [code, cell] of lines.cells.entries()) {
    const fit = fits.scatters[code];
    if (fit === undefined || cell.outputs.length < 3) continue;
    const usualDivisionKg = median((cell.used.length > 0 ? cell.used : cell.members).map(divisionOf));
    for (const members of byCutter(cell, facts, fits))
      for (const likeness of likenessesAmong(question, { fit, usualDivisionKg }, members))
        likenesses.push(likeness);
  }
  const share = writtenOutShare(likenesses);
  return likenesses
    .map((likeness) => copyFrom(likeness, share))
    .filter((copy) => copy.chance >= least && isAsked(copy.test));
};

/** Odds that a test repeats an earlier one, by its weights and by its shares, were all tests copied; each with the likeliest one. */
type Likeness = {
  test: number;
  lines: number;
  ofWeights: Earlier;
  ofShares: Earlier;
};
type Earlier = { odds: number; most: number; from: number; alike: number };

/**
 * Share of tests written out from an earlier one's shares, by EM over the night (as `switchedScales`): where many are, another is
 * likelier; where the likenesses are no more than chance brings about, hardly any is. Our choice is worth one such test.
 */
const writtenOutShare = (likenesses: readonly Likeness[]): number => {
  const usual = copiedShare * (1 - wholeShare);
  let share = usual;
  for (let round = 0; round < rounds; round++) {
    let made = 0;
    for (const { ofWeights, ofShares } of likenesses) {
      const own = share * ofShares.odds;
      if (own > 0) made += own / (1 + own + copiedShare * wholeShare * ofWeights.odds);
    }
    share = (made + 1) / (likenesses.length + 1 / usual);
  }
  return share;
};

const copyFrom = ({ test, lines, ofWeights, ofShares }: Likeness, share: number): Copy => {
  const byWeight = copiedShare * wholeShare;
  const odds = byWeight * ofWeights.odds + share * ofShares.odds;
  const isByShare = share * ofShares.most > byWeight * ofWeights.most;
  const { from, alike } = isByShare ? ofShares : ofWeights;
  return { test, from, alike, lines, isByShare, chance: odds / (1 + odds) };
};

/** How a cell's tests scatter; the rounding of its usual scale is part of that. */
type CellScatter = { fit: TScatter; usualDivisionKg: number };

const likenessesAmong = (question: CopyQuestion, cell: CellScatter, members: readonly number[]): Likeness[] =>
  members.slice(1).map((i, place) => likenessOf(question, cell, { i, earlier: members.slice(0, place + 1) }));

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

const likenessOf = (
  question: CopyQuestion,
  cell: CellScatter,
  { i, earlier }: { i: number; earlier: readonly number[] },
): Likeness => {
  const { facts, lines } = question;
  const { fit } = cell;
  const from = lines.start[i] as number;
  const drained = drainedOf(facts, i);
  const division = facts.divisionKg[i] as number;
  const sizeDensity = sizeOf(question, i);
  const prior = (place: number): number =>
    (1 - lastShare) / earlier.length + (place === earlier.length - 1 ? lastShare : 0);
  let independent: number | undefined;
  const ofWeights: Earlier = { odds: 0, most: 0, from: -1, alike: 0 };
  const ofShares: Earlier = { ...ofWeights };
  for (const [place, other] of earlier.entries()) {
    const otherFrom = lines.start[other] as number;
    const ratio = drained / drainedOf(facts, other);
    const byShare = copyDensity(lines.kg, { k: fit.k, from, otherFrom, factor: ratio, division, drained });
    if (byShare === undefined && Math.abs(ratio - 1) > 0.05) continue;
    const byWeight = copyDensity(lines.kg, { k: fit.k, from, otherFrom, factor: 1, division, drained });
    const whole = wholeOdds(question.facts, i, other) - Math.log(division / drained) - sizeDensity;
    independent ??= independentDensity(question, cell, i);
    const add = (to: Earlier, density: number | undefined, factor: number): void => {
      if (density === undefined) return;
      const odds = prior(place) * Math.exp(density - (independent as number));
      to.odds += odds;
      if (odds <= to.most) return;
      to.most = odds;
      to.from = other;
      to.alike = linesAlike(lines, { k: fit.k, i, other, factor, division });
    };
    add(ofShares, byShare, ratio);
    add(ofWeights, byWeight === undefined ? undefined : byWeight + whole, 1);
  }
  return { test: i, lines: fit.k, ofWeights, ofShares };
};

/** Lines that are those of the other test times the factor, to the division. */
const linesAlike = (
  { kg, start }: LineCells,
  at: { k: number; i: number; other: number; factor: number; division: number },
): number => {
  let alike = 0;
  for (let j = 0; j < at.k; j++) {
    const sent = kg[(start[at.other] as number) + j] as number;
    if (isRounded((kg[(start[at.i] as number) + j] as number) - sent * at.factor, at.division)) alike += 1;
  }
  return alike;
};

/** No more apart than rounding to the division brings about (and as much again of arithmetic as a thousandth of it). */
const isRounded = (offKg: number, divisionKg: number): boolean => Math.abs(offKg) <= 0.501 * divisionKg;

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

/**
 * Log density of the test's shares, had it been weighed: as expected, or as the cutter's own tests lie, equally likely. With the
 * rounding by which the store's own scale exceeds the usual one, as a coarse one leaves honest tests few weights to differ by.
 */
const independentDensity = (question: CopyQuestion, cell: CellScatter, i: number): number => {
  const { lines, fits } = question;
  const { fit } = cell;
  const wide = question.widening[i] as number;
  const from = lines.start[i] as number;
  const residual = fits.residual.slice(from, from + fit.k);
  const common = densityOf(weighed(question, cell, { i, widening: wide }), residual);
  const way = fits.ownWay(i);
  if (way === undefined) return common;
  const about = residual.map((value, j) => value - (way.offset[j] as number));
  const own = densityOf(weighed(question, cell, { i, widening: way.spread * wide }), about);
  return Math.log((1 - ownShare) * Math.exp(common) + ownShare * Math.exp(own));
};

const densityOf = (truth: TrueSheet | undefined, residual: Float64Array): number =>
  truth === undefined ? Number.POSITIVE_INFINITY : tDensity(truth, residual);

/** What the test's sheet would be like, had it been weighed; undefined where its scatter is not regular. */
const weighed = (
  { facts, lines, fits, sizes }: CopyQuestion,
  { fit, usualDivisionKg }: CellScatter,
  { i, widening }: { i: number; widening: number },
): TrueSheet | undefined => {
  const from = lines.start[i] as number;
  const usualDrainedKg = drainedOf(facts, i);
  return trueSheet(fit, {
    share: lines.kg.slice(from, from + fit.k).map((kg) => kg / usualDrainedKg),
    widening,
    usualDrainedKg,
    ownWay: fits.ownWay(i),
    pieceSize: sizes[facts.piece.codes[i] as number] as PieceSize,
    pieces: facts.pieces[i] as number,
    divisionKg: Math.sqrt(Math.max(0, (facts.divisionKg[i] as number) ** 2 - usualDivisionKg ** 2)),
  });
};

/**
 * Log density of the shares of a copy whose original's lines, as written, were multiplied by `factor` and rounded to the division;
 * undefined where a line differs by more than a tenth and 5 divisions, which no copy does.
 */
const copyDensity = (
  kg: Float64Array,
  at: { k: number; from: number; otherFrom: number; factor: number; division: number; drained: number },
): number | undefined => {
  let log = 0;
  const rounding = at.division ** 2 / 12;
  for (let j = 0; j < at.k; j++) {
    const own = kg[at.from + j] as number;
    const off = own - (kg[at.otherFrom + j] as number) * at.factor;
    if (Math.abs(off) > 0.1 * own + 5 * at.division) return undefined;
    let density = isRounded(off, at.division) ? untouched / at.division : 0;
    for (const [share, size, divisions] of touches) {
      const variance = rounding + (size * own) ** 2 + (divisions * at.division) ** 2;
      density += (share * Math.exp((-off * off) / 2 / variance)) / Math.sqrt(2 * Math.PI * variance);
    }
    log += Math.log(density * at.drained);
  }
  return log;
};
