import type { OwnWay } from './cellFits.ts';
import { cholesky, inverseOf, logDeterminant } from './cholesky.ts';
import type { PieceSize } from './pieceSize.ts';
import { drainedKgOf, type Sheet } from './sheet.ts';
import { type TScatter, tConstant } from './tScatter.ts';

/** What a true sheet of this test looks like: its shares, how they scatter, and the pieces that come in. */
export type TrueSheet = {
  k: number;
  nu: number;
  share: Float64Array;
  /** Inverse and log determinant of the test's own scatter. */
  inverse: Float64Array;
  logDet: number;
  /** SD of what is left over (the mass balance), share of drained. */
  balanceSd: number;
  ownWay: OwnWay | undefined;
  pieceSize: PieceSize;
  pieces: number;
  divisionKg: number;
};

/** The cell's scatter, widened for the test's pieces, with the rounding of the store's own scale. */
export const trueSheet = (
  fit: TScatter,
  of: {
    share: Float64Array;
    widening: number;
    usualDrainedKg: number;
  } & Pick<TrueSheet, 'ownWay' | 'pieceSize' | 'pieces' | 'divisionKg'>,
): TrueSheet | undefined => {
  const { k } = fit;
  const rounding = (of.divisionKg / of.usualDrainedKg) ** 2 / 12;
  const scatter = fit.scatter.map((value) => value * of.widening);
  let balance = 0;
  for (let a = 0; a < k; a++)
    for (let b = 0; b < k; b++) {
      const shared = 2 * (of.share[a] as number) * (of.share[b] as number);
      scatter[a * k + b] = (scatter[a * k + b] as number) + rounding * (shared + (a === b ? 1 : 0));
      balance += scatter[a * k + b] as number;
    }
  const lower = cholesky(scatter, k);
  if (lower === undefined) return undefined;
  return {
    k,
    nu: fit.nu,
    share: of.share,
    inverse: inverseOf(lower, k),
    logDet: logDeterminant(lower, k),
    balanceSd: Math.sqrt(balance),
    ownWay: of.ownWay,
    pieceSize: of.pieceSize,
    pieces: of.pieces,
    divisionKg: of.divisionKg,
  };
};

/** A line left out of the likelihood (-1 = none), and how much wider than a true sheet's the scatter is. */
export type Allowance = { unknown: number; widening: number };
const none: Allowance = { unknown: -1, widening: 1 };

const ownWayShare = 0.2;
const billedScale = 0.02;

/**
 * Log likelihood of a sheet, per log weight (so that factors of units and decimals need no Jacobian): piece size x shares,
 * the latter about what is expected or, with 1 in 5 odds, about the cutter's own other tests x invoice weight.
 */
export const logLikelihood = (truth: TrueSheet, sheet: Sheet, allowance: Allowance = none): number => {
  const drained = drainedKgOf(sheet);
  if (!(drained > 0)) return Number.NEGATIVE_INFINITY;
  const { unknown } = allowance;
  const residual = new Float64Array(truth.k);
  let jacobian = 0;
  for (let j = 0; j < truth.k; j++) {
    const kg = sheet.linesKg[j] as number;
    residual[j] = kg / drained - (truth.share[j] as number);
    if (j !== unknown) jacobian += Math.log(Math.max(kg, truth.divisionKg / 2) / drained);
  }
  return (
    truth.pieceSize.logDensity(drained / truth.pieces) +
    sharesDensity(truth, residual, allowance) +
    jacobian +
    billedDensity(sheet)
  );
};

const sharesDensity = (truth: TrueSheet, residual: Float64Array, allowance: Allowance): number => {
  const common = tDensity(truth, residual, allowance);
  const { ownWay } = truth;
  if (ownWay === undefined || allowance.widening > 1) return common;
  const about = residual.map((value, j) => value - (ownWay.offset[j] as number));
  const widening = Math.max(1, ownWay.spread) * (1 + 1.57 / ownWay.tests);
  const own = tDensity(truth, about, { unknown: allowance.unknown, widening });
  return Math.log((1 - ownWayShare) * Math.exp(common) + ownWayShare * Math.exp(own));
};

/** Log density of residual shares about 0: the multivariate t of the test's own scatter. */
export const tDensity = (
  truth: TrueSheet,
  residual: Float64Array,
  { unknown, widening }: Allowance = none,
): number => {
  const { nu, inverse } = truth;
  let k = truth.k;
  let logDet = truth.logDet + k * Math.log(widening);
  let distance = 0;
  let atUnknown = 0;
  for (let a = 0; a < truth.k; a++) {
    let sum = 0;
    for (let b = 0; b < truth.k; b++) sum += (inverse[a * truth.k + b] as number) * (residual[b] as number);
    distance += sum * (residual[a] as number);
    if (a === unknown) atUnknown = sum;
  }
  if (unknown >= 0) {
    const own = inverse[unknown * truth.k + unknown] as number;
    distance -= atUnknown ** 2 / own;
    logDet += Math.log(own) - Math.log(widening);
    k -= 1;
  }
  return tConstant(nu, k) - logDet / 2 - ((nu + k) / 2) * Math.log1p(Math.max(0, distance) / widening / nu);
};

const billedDensity = (sheet: Sheet): number => {
  if (!(sheet.billedKg > 0)) return 0;
  const z = Math.log(sheet.billedKg / sheet.receivedKg) / billedScale;
  return tConstant(3, 1) - Math.log(billedScale) - 2 * Math.log1p((z * z) / 3);
};

/** Weight of one line that the others let expect, kg. */
export const expectedLineKg = (truth: TrueSheet, sheet: Sheet, line: number): number => {
  const drained = drainedKgOf(sheet);
  let pull = 0;
  for (let j = 0; j < truth.k; j++)
    if (j !== line)
      pull +=
        (truth.inverse[line * truth.k + j] as number) *
        ((sheet.linesKg[j] as number) / drained - (truth.share[j] as number));
  const expected = (truth.share[line] as number) - pull / (truth.inverse[line * truth.k + line] as number);
  return Math.max(0, expected) * drained;
};

/** What is left over, share of drained: added less the lines, from 1. */
export const leftOver = (sheet: Sheet, addedKg: number): number => {
  let lines = 0;
  for (const kg of sheet.linesKg) lines += kg;
  const drained = drainedKgOf(sheet);
  return (drained + (Number.isNaN(addedKg) ? 0 : addedKg) - lines) / drained;
};
