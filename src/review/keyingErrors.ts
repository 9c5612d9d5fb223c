import type { ReviewCause } from '../faults/reviewCauses.ts';
import { kgPerLb, kilogramsPer } from '../units/weight.ts';

/**
 * One way a sheet goes wrong. A weight as it should be = weight as sent x factor. `unknown` is a line whose weight cannot be
 * told from the sheet; `isReceivedUnknown` the same for what came in.
 */
export type KeyingError = {
  cause: ReviewCause;
  logPrior: number;
  received: number;
  purge: number;
  /** Factor of every line. */
  lines: number;
  line: number;
  lineFactor: number;
  swapWith: number;
  /** The line that the weight of `line`, or a part of it, stands on. */
  movedTo: number;
  unknown: number;
  isReceivedUnknown: boolean;
  /** The unit the weight was written in; '' where it is no matter of units. */
  unit: string;
};

/**
 * Share of tests in which each goes wrong: our choice, to be read as "about one test in a hundred has something wrong, and
 * no way of going wrong is rare enough to be ruled out"; common practice, no source. Split evenly over the lines.
 */
const priors = {
  testUnit: 2.5e-3,
  testDecimal: 3e-4,
  receivedUnit: 1.5e-3,
  receivedAndPurgeUnit: 3e-4,
  outputsUnit: 3e-4,
  receivedDecimal: 1e-3,
  purgeDecimal: 2e-4,
  lineUnit: 2e-3,
  lineDecimal: 2e-3,
  swapped: 1.5e-3,
  moved: 3e-4,
  leftOut: 1e-3,
  twice: 5e-4,
  lineWrong: 2e-4,
  receivedWrong: 1e-4,
  odd: 2e-4,
};

/** Units a sheet is written in instead of its own, with how likely one is taken for it among the mistaken units. */
const mistaken: Record<string, [string, number][]> = {
  lb: [
    ['kg', 0.45],
    ['oz', 0.29],
    ['g', 0.01],
  ],
  kg: [
    ['lb', 0.6],
    ['oz', 0.05],
    ['g', 0.1],
  ],
  oz: [
    ['lb', 0.6],
    ['g', 0.1],
    ['kg', 0.05],
  ],
  g: [
    ['kg', 0.6],
    ['oz', 0.1],
    ['lb', 0.05],
  ],
};
/** The rest of the share: weights already in the sheet's unit that were converted between lb and kg once more. */
const convertedAgain = 0.25;

/** Factors from what is written to what was meant, share of each, and the unit it was meant in. */
const unitSlips = (unit: string): [number, number, string][] => {
  const own = unit === 'lb-oz' ? 'lb' : unit;
  const slips = (mistaken[own] ?? []).map(([other, share]): [number, number, string] => [
    kilogramsPer(other) / kilogramsPer(own),
    share,
    other,
  ]);
  const again = own === 'kg' || own === 'g' ? 1 / kgPerLb : kgPerLb;
  return [...slips, [again, convertedAgain, `${own}, converted once more`]];
};

/** A decimal point one place off, or two (rarer). */
const decimals: [number, number][] = [
  [10, 0.48],
  [0.1, 0.48],
  [100, 0.02],
  [0.01, 0.02],
];

const nothing = {
  received: 1,
  purge: 1,
  lines: 1,
  line: -1,
  lineFactor: 1,
  swapWith: -1,
  movedTo: -1,
  unknown: -1,
  isReceivedUnknown: false,
  unit: '',
};

/** Every way a sheet of k lines in this unit goes wrong. Method: Di Zio, Guarnera & Luzi 2005 Surv. Methodol. 31:53. */
export const keyingErrors = (unit: string, k: number): KeyingError[] => {
  const units = unitSlips(unit);
  const places = Array.from({ length: k }, (_, line) => line);
  const errors: KeyingError[] = [];
  const add = (cause: ReviewCause, prior: number, what: Partial<KeyingError>): void => {
    errors.push({ ...nothing, cause, logPrior: Math.log(prior), ...what });
  };
  for (const [factor, share, other] of units) {
    add('test-unit', priors.testUnit * share, {
      received: factor,
      purge: factor,
      lines: factor,
      unit: other,
    });
    add('received-unit', priors.receivedUnit * share, { received: factor, unit: other });
    add('received-unit', priors.receivedAndPurgeUnit * share, {
      received: factor,
      purge: factor,
      unit: other,
    });
    add('outputs-unit', priors.outputsUnit * share, { lines: factor, unit: other });
    for (const line of places)
      add('line-unit', (priors.lineUnit * share) / k, { line, lineFactor: factor, unit: other });
  }
  for (const [factor, share] of decimals) {
    add('test-decimal', priors.testDecimal * share, { received: factor, purge: factor, lines: factor });
    add('received-decimal', priors.receivedDecimal * share, { received: factor });
    add('purge-decimal', priors.purgeDecimal * share, { purge: factor });
    for (const line of places)
      add('line-decimal', (priors.lineDecimal * share) / k, { line, lineFactor: factor });
  }
  const pairs = (k * (k - 1)) / 2;
  for (const line of places) {
    for (let other = line + 1; other < k; other++)
      add('lines-swapped', priors.swapped / pairs, { line, swapWith: other });
    for (const movedTo of places)
      if (movedTo !== line) add('line-moved', priors.moved / (2 * pairs), { line, movedTo });
    add('line-left-out', priors.leftOut / k, { line, unknown: line });
    add('line-twice', priors.twice / k, { line, unknown: line });
    add('line-wrong', priors.lineWrong / k, { line, unknown: line });
  }
  add('received-wrong', priors.receivedWrong, { isReceivedUnknown: true });
  add('composition-odd', priors.odd, {});
  return errors;
};
