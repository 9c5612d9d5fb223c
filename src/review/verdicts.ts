import { median } from 'simple-statistics';
import { reviewCauses } from '../faults/reviewCauses.ts';
import { causeWords, copyWords, heldWords } from './causeWords.ts';
import type { CellFits } from './cellFits.ts';
import { type Copy, copiedTests } from './copiedTests.ts';
import type { ExpectedShares } from './expectedShares.ts';
import { isOfWholeSheet, judgeSheet, normalSds, type SheetVerdict } from './judgeSheet.ts';
import type { LineCells } from './lineCells.ts';
import { drainedOf, type PieceSize, pieceKgOf } from './pieceSize.ts';
import type { ReviewFacts } from './reviewFacts.ts';
import type { Sheet } from './sheet.ts';
import { leftOver, type TrueSheet, trueSheet } from './sheetLikelihood.ts';
import type { UnitUse } from './unitUse.ts';

/** What becomes of one test: state and reasons as they will stand, the cause in words, and the sheet as repaired. */
export type Verdict = {
  test: number;
  state: 'used' | 'held' | 'repaired';
  reasons: string;
  cause: string;
  chance: number;
  /** Received over received as sent, for the unit cost of a test in the wrong unit; 1 = as sent. */
  unitFactor: number;
  restored: Sheet | undefined;
  /** Nothing but the size of the piece speaks for it. */
  isBySize: boolean;
};

export type Compared = {
  facts: ReviewFacts;
  lines: LineCells;
  expected: ExpectedShares;
  fits: CellFits;
  sizes: readonly PieceSize[];
  use: (i: number) => UnitUse;
  /** Median purge of used tests weighed in the bag, share of what came in; NaN where none is known. */
  usualPurge: number;
  /** Greatest share left over that the chain tolerates. */
  most: number;
  unit: 'lb' | 'kg';
};

/** A test is held when it is this likely not true, and repaired when this sure of how (statistics: keying errors). */
const holdFrom = 0.9;
/** A whole sheet in another unit leaves nothing else to see: it is asked about as soon as that is likelier than not. */
const askFrom = 0.5;
const repairFrom = 0.99;
const copyFrom = 0.9;
/** Reasons of the screen that the review may settle; with any other a test stays as the screen left it. */
const settled = new Set(['mass-balance', 'weight-out-of-range', 'line-missing']);

/**
 * Verdicts on all tests that are not simply used: mistakes first, then copies among what is left. A mistake on the whole sheet shows
 * in nothing but the size of the piece: where the lines are those of an earlier test, of other pieces, it is the copy that explains it.
 */
export const verdicts = (night: Compared): Verdict[] => {
  const { facts } = night;
  const found = mistakesOf(night);
  const isBySize = (i: number): boolean => found.get(i)?.isBySize === true;
  const isAsked = (i: number): boolean => (facts.state[i] === 'used' && !found.has(i)) || isBySize(i);
  for (const copy of copiedTests({ ...night, widening: night.expected.widening }, isAsked, copyFrom))
    if (!isBySize(copy.test) || copy.alike >= copy.lines - 1) found.set(copy.test, copyVerdict(facts, copy));
  for (const [i, state] of facts.state.entries())
    if (state === 'held' && !found.has(i)) found.set(i, heldVerdict(facts, i));
  return [...found.values()].sort((a, b) => a.test - b.test);
};

/** Verdicts on tests that something is wrong with, or that the screen held for nothing, by test. */
const mistakesOf = (night: Compared): Map<number, Verdict> => {
  const { facts } = night;
  const found = new Map<number, Verdict>();
  for (const [code, cell] of night.lines.cells.entries()) {
    const fit = night.fits.scatters[code];
    if (fit === undefined) continue;
    const usualDrainedKg = median(cell.used.map((i) => drainedOf(facts, i)));
    for (const i of cell.members) {
      if (!isDoubtful(night, i, fit.k)) continue;
      const verdict = sheetVerdict(night, i, { fit, usualDrainedKg });
      if (verdict !== undefined) found.set(i, verdict);
    }
  }
  return found;
};

const farShares = 2.5;
const farShare = 8;
/** A composition this odd as a whole is looked into (chance of one like the most being as far off). */
const oddTail = 1e-4;
/** Log density of a piece this far below the usual one is looked into. */
const oddSize = 4;

/** Worth judging: held for a reason that can be settled, or far from expected in its shares, its weight, its unit or its invoice. */
const isDoubtful = (night: Compared, i: number, k: number): boolean => {
  const { facts, fits, sizes } = night;
  if (facts.state[i] === 'held')
    return (facts.reasons[i] as string).split(';').every((reason) => settled.has(reason));
  if (!((fits.distance[i] as number) < farShares * k + farShare)) return true;
  if ((night.expected.tail[i] as number) < oddTail) return true;
  const size = sizes[facts.piece.codes[i] as number] as PieceSize;
  if (size.logDensity(pieceKgOf(facts, i)) < -oddSize) return true;
  if (night.use(i).isOdd) return true;
  const billed = facts.billedKg[i] as number;
  return billed > 0 && Math.abs(Math.log(billed / (facts.receivedKg[i] as number))) > 0.2;
};

type Cell = { fit: NonNullable<CellFits['scatters'][number]>; usualDrainedKg: number };

const trueSheetOf = (
  { facts, lines, expected, fits, sizes }: Compared,
  i: number,
  of: Cell & { divisionKg: number },
): TrueSheet | undefined => {
  const from = lines.start[i] as number;
  return trueSheet(of.fit, {
    share: expected.share.subarray(from, from + of.fit.k),
    widening: expected.widening[i] as number,
    usualDrainedKg: of.usualDrainedKg,
    ownWay: fits.ownWay(i),
    pieceSize: sizes[facts.piece.codes[i] as number] as PieceSize,
    pieces: facts.pieces[i] as number,
    divisionKg: of.divisionKg,
  });
};

const sheetOf = ({ facts, lines }: Compared, i: number, k: number): Sheet => {
  const from = lines.start[i] as number;
  return {
    receivedKg: facts.receivedKg[i] as number,
    purgeKg: facts.purgeKg[i] as number,
    billedKg: facts.billedKg[i] as number,
    isInBag: facts.weighed[i] === 'in-bag',
    linesKg: lines.kg.slice(from, from + k),
  };
};

/** The sheet against one that was weighed to this step; undefined where the scatter says nothing. */
const judgedAt = (
  night: Compared,
  i: number,
  of: Cell & { divisionKg: number },
): { truth: TrueSheet; sheet: Sheet; judged: SheetVerdict } | undefined => {
  const { facts } = night;
  const truth = trueSheetOf(night, i, of);
  if (truth === undefined) return undefined;
  const sheet = sheetOf(night, i, truth.k);
  const judged = judgeSheet(truth, sheet, {
    unit: facts.unit[i] as string,
    use: night.use(i),
    usualPurge: night.usualPurge,
    addedKg: facts.addedKg[i] as number,
    most: night.most,
  });
  return { truth, sheet, judged };
};

/** Sure of how to undo it, also where a sheet written in coarse steps says nothing finer than its step. */
const isRepaired = (
  night: Compared,
  i: number,
  { cell, judged }: { cell: Cell; judged: SheetVerdict },
): boolean => {
  const isSure = (own: SheetVerdict | undefined): boolean =>
    own !== undefined && own.error === judged.error && own.isRepairable && own.chance > repairFrom;
  const { divisionKg, stepKg } = night.facts;
  const step = stepKg[i] as number;
  return (
    isSure(judged) &&
    (step === divisionKg[i] || isSure(judgedAt(night, i, { ...cell, divisionKg: step })?.judged))
  );
};

const sheetVerdict = (night: Compared, i: number, cell: Cell): Verdict | undefined => {
  const { facts } = night;
  const found = judgedAt(night, i, { ...cell, divisionKg: facts.divisionKg[i] as number });
  if (found === undefined) return undefined;
  const { truth, sheet, judged } = found;
  const isHeld = facts.state[i] === 'held';
  const cause = causeWords(night, i, { truth, sheet, judged });
  const reason = reviewCauses[judged.error.cause].reason;
  const unitFactor = judged.error.cause === 'test-unit' ? judged.error.received : 1;
  const isBySize = isOfWholeSheet(judged.error.cause);
  if (isRepaired(night, i, { cell, judged }))
    return {
      test: i,
      state: 'repaired',
      reasons: reason,
      cause,
      chance: judged.chance,
      unitFactor,
      restored: judged.restored,
      isBySize,
    };
  const untouched = { test: i, unitFactor: 1, restored: undefined, isBySize };
  if (judged.chanceGood < 1 - (judged.error.cause === 'test-unit' ? askFrom : holdFrom))
    return {
      ...untouched,
      state: 'held',
      reasons: reasonsWith(facts.reasons[i] as string, reason),
      cause,
      chance: judged.chance,
    };
  if (!isHeld) return undefined;
  return isTrue(truth, sheet, { judged, night, i })
    ? { ...untouched, state: 'used', reasons: '', cause: '', chance: Number.NaN }
    : undefined;
};

const trueFrom = 0.99;

/** A held test goes back when it is as good as surely true and what is left over is what this cutter leaves in other tests. */
const isTrue = (
  truth: TrueSheet,
  sheet: Sheet,
  { judged, night, i }: { judged: SheetVerdict; night: Compared; i: number },
): boolean => {
  if (judged.chanceGood < trueFrom || (night.facts.reasons[i] as string).includes('line-missing'))
    return false;
  let usual = 1;
  for (const [j, share] of truth.share.entries()) usual -= share + (truth.ownWay?.offset[j] ?? 0);
  const left = leftOver(sheet, night.facts.addedKg[i] as number);
  return Math.abs(left - usual) < normalSds * truth.balanceSd;
};

const reasonsWith = (reasons: string, reason: string): string =>
  reasons === '' ? reason : reasons.split(';').includes(reason) ? reasons : `${reasons};${reason}`;

const copyVerdict = (facts: ReviewFacts, copy: Copy): Verdict => ({
  test: copy.test,
  state: 'held',
  reasons: reviewCauses['test-copied'].reason,
  cause: copyWords(facts.testId[copy.from] as string, copy),
  chance: copy.chance,
  unitFactor: 1,
  restored: undefined,
  isBySize: false,
});

/** A test that stays as the screen left it, with what is missing in words. */
const heldVerdict = (facts: ReviewFacts, i: number): Verdict => ({
  test: i,
  state: 'held',
  reasons: facts.reasons[i] as string,
  cause: heldWords(facts, i),
  chance: Number.NaN,
  unitFactor: 1,
  restored: undefined,
  isBySize: false,
});
