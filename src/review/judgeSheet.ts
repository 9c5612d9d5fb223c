import { type KeyingError, keyingErrors } from './keyingErrors.ts';
import { movedLikelihood } from './movedWeight.ts';
import { drainedKgOf, restoredSheet, type Sheet } from './sheet.ts';
import { leftOver, logLikelihood, type TrueSheet } from './sheetLikelihood.ts';
import type { UnitUse } from './unitUse.ts';

/** What is most likely wrong with a sheet, if anything: chances by Bayes over all ways of going wrong. */
export type SheetVerdict = {
  chanceGood: number;
  error: KeyingError;
  /** Chance of this mistake, however it was made. */
  chance: number;
  restored: Sheet;
  /** True where the mistake can be undone and what is then left over is normal. */
  isRepairable: boolean;
};

/** Log range over which a weight that says nothing is taken to lie evenly: a factor of 30 either way. */
const wrongRange = 2 * Math.log(30);
const oddWidening = 64;

const undone = new Set<KeyingError['cause']>([
  'test-unit',
  'test-decimal',
  'received-unit',
  'outputs-unit',
  'received-decimal',
  'purge-decimal',
  'line-unit',
  'line-decimal',
  'lines-swapped',
]);

const known = new Map<string, { errors: KeyingError[]; logGood: number }>();

/** Mistakes possible on a sheet of k lines, worked out once for each unit and k (a cache of constants). */
const mistakesOf = (unit: string, k: number): { errors: KeyingError[]; logGood: number } => {
  const key = `${unit} ${k}`;
  const found = known.get(key);
  if (found !== undefined) return found;
  const errors = keyingErrors(unit, k);
  const total = errors.reduce((sum, error) => sum + Math.exp(error.logPrior), 0);
  const made = { errors, logGood: Math.log(1 - total) };
  known.set(key, made);
  return made;
};

type Asked = { unit: string; use: UnitUse; usualPurge: number; addedKg: number; most: number };

/**
 * Posterior over all ways of going wrong. unit: as written, use: units of its store; usualPurge: share of what comes in, NaN = unknown; addedKg: weight put in (NaN = none);
 * most: share allowed left over.
 */
export const judgeSheet = (
  truth: TrueSheet,
  sheet: Sheet,
  { unit, use, usualPurge, addedKg, most }: Asked,
): SheetVerdict => {
  const { errors, logGood } = mistakesOf(unit, truth.k);
  const good = logGood + logLikelihood(truth, sheet);
  const scores = Float64Array.from(
    errors,
    (error) =>
      priorOf(error, use) + purgeOdds(sheet, error, usualPurge) + errorLikelihood(truth, sheet, error),
  );
  let top = good;
  let best = 0;
  for (const [place, score] of scores.entries()) {
    if (score > top) top = score;
    if (score > (scores[best] as number)) best = place;
  }
  let total = Math.exp(good - top);
  for (const score of scores) total += Math.exp(score - top);
  const error = errors[best] as KeyingError;
  const restored = restoredSheet(sheet, error);
  let chance = 0;
  for (const [place, score] of scores.entries())
    if (isSame(errors[place] as KeyingError, error, sheet)) chance += Math.exp(score - top) / total;
  return {
    chanceGood: Math.exp(good - top) / total,
    error,
    chance,
    restored,
    isRepairable:
      undone.has(error.cause) &&
      isWitnessed(truth, sheet, { error, use }) &&
      isNormal(truth, restored, { addedKg, most }),
  };
};

/** Log odds of a mistake against a true sheet: a whole sheet in another unit by what its store writes. */
const priorOf = (error: KeyingError, use: UnitUse): number =>
  error.logPrior + (error.cause === 'test-unit' ? Math.log(use.likelier(error.unit)) : 0);

/** Log SD of purge about its usual share. */
const purgeSpread = 0.7;

/** How much likelier the purge is as mended than as sent, log; other mistakes leave it as it is or move it with what came in. */
const purgeOdds = (sheet: Sheet, error: KeyingError, usualPurge: number): number => {
  if (error.cause !== 'purge-decimal' || !(usualPurge > 0 && sheet.purgeKg > 0)) return 0;
  const like = (purgeKg: number): number =>
    -0.5 * (Math.log(purgeKg / sheet.receivedKg / usualPurge) / purgeSpread) ** 2;
  return like(sheet.purgeKg * error.purge) - like(sheet.purgeKg);
};

/** A factor on every weight of the sheet. */
export const isOfWholeSheet = (cause: KeyingError['cause']): boolean =>
  cause === 'test-unit' || cause === 'test-decimal';

/**
 * A factor on the whole sheet leaves its balance as it was, so that only the size of the piece speaks: no weight is changed for it
 * unless no such piece exists or the store writes in both units.
 */
const isWitnessed = (
  truth: TrueSheet,
  sheet: Sheet,
  { error, use }: { error: KeyingError; use: UnitUse },
): boolean =>
  !isOfWholeSheet(error.cause) ||
  truth.pieceSize.isImpossible(drainedKgOf(sheet) / truth.pieces) ||
  use.isSeen(error.unit);

/** The same mistake in effect: the same weights, but for a purge so small that it does not tell. */
const isSame = (one: KeyingError, other: KeyingError, sheet: Sheet): boolean =>
  one === other ||
  (one.cause === other.cause &&
    one.unit === other.unit &&
    one.line === other.line &&
    one.swapWith === other.swapWith &&
    one.movedTo === other.movedTo &&
    one.lineFactor === other.lineFactor &&
    one.received === other.received &&
    Math.abs(drainedKgOf(restoredSheet(sheet, one)) / drainedKgOf(restoredSheet(sheet, other)) - 1) < 0.002);

const errorLikelihood = (truth: TrueSheet, sheet: Sheet, error: KeyingError): number => {
  if (error.cause === 'composition-odd')
    return logLikelihood(truth, sheet, { unknown: -1, widening: oddWidening });
  if (error.isReceivedUnknown) return receivedUnknown(truth, sheet);
  if (error.unknown >= 0) return lineUnknown(truth, sheet, error);
  if (error.movedTo >= 0) return movedLikelihood(truth, sheet, error);
  if (error.line >= 0 && !touches(sheet, error)) return Number.NEGATIVE_INFINITY;
  if (error.purge !== 1 && error.received === 1 && !(sheet.purgeKg > 0)) return Number.NEGATIVE_INFINITY;
  return logLikelihood(truth, restoredSheet(sheet, error));
};

const touches = (sheet: Sheet, { line, swapWith }: KeyingError): boolean =>
  swapWith < 0 ? (sheet.linesKg[line] as number) > 0 : sheet.linesKg[line] !== sheet.linesKg[swapWith];

/** A line that was left out is 0; one entered twice has another's weight to the scale's division; else anything. */
const lineUnknown = (truth: TrueSheet, sheet: Sheet, error: KeyingError): number => {
  const kg = sheet.linesKg[error.line] as number;
  if ((error.cause === 'line-left-out') !== !(kg > 0)) return Number.NEGATIVE_INFINITY;
  const rest = logLikelihood(truth, sheet, { unknown: error.unknown, widening: 1 });
  if (error.cause === 'line-left-out') return rest;
  if (error.cause === 'line-wrong') return rest - Math.log(wrongRange);
  return twinOf(sheet, error.line, truth.divisionKg) < 0
    ? Number.NEGATIVE_INFINITY
    : rest + Math.log(kg / truth.divisionKg);
};

/** Another line of the same weight; -1 = none. */
export const twinOf = (sheet: Sheet, line: number, divisionKg: number): number =>
  sheet.linesKg.findIndex(
    (kg, other) => other !== line && Math.abs(kg - (sheet.linesKg[line] as number)) < divisionKg / 10,
  );

const steps = 25;
const stepSize = 0.004;

/** The received weight is anything: summed over what the lines let it be, in steps about where they add up. */
const receivedUnknown = (truth: TrueSheet, sheet: Sheet): number => {
  let lines = 0;
  let expected = 0;
  for (const [j, kg] of sheet.linesKg.entries()) {
    lines += kg;
    expected += truth.share[j] as number;
  }
  const balanced = lines / expected / drainedKgOf(sheet);
  if (!(balanced > 0)) return Number.NEGATIVE_INFINITY;
  const purge = sheet.isInBag ? sheet.purgeKg : 0;
  let sum = 0;
  for (let step = 0; step < steps; step++) {
    const factor = balanced * Math.exp((step - (steps - 1) / 2) * stepSize);
    const receivedKg = drainedKgOf(sheet) * factor + purge;
    sum += Math.exp(logLikelihood(truth, { ...sheet, receivedKg })) * stepSize;
  }
  return Math.log(sum) - Math.log(wrongRange);
};

/** What is left over is as usual within so many SDs: one good sheet in 15,000 is not. */
export const normalSds = 4;

/** What is left over is within the chain's tolerance or what this cutter usually leaves, and no more is made than came in. */
const isNormal = (
  truth: TrueSheet,
  sheet: Sheet,
  { addedKg, most }: { addedKg: number; most: number },
): boolean => {
  const left = leftOver(sheet, addedKg);
  let usual = 1;
  for (let j = 0; j < truth.k; j++) usual -= (truth.share[j] as number) + (truth.ownWay?.offset[j] ?? 0);
  const rounding = ((truth.k + 2) * truth.divisionKg) / 2 / drainedKgOf(sheet);
  const reach = normalSds * truth.balanceSd;
  return (
    (left >= -rounding && left <= most + rounding && Math.abs(left - usual) <= 2 * reach) ||
    Math.abs(left - usual) <= reach
  );
};
