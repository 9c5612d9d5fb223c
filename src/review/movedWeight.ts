import type { KeyingError } from './keyingErrors.ts';
import { drainedKgOf, type Sheet } from './sheet.ts';
import { logLikelihood, type TrueSheet } from './sheetLikelihood.ts';

/** Of weights that stand on another line, how many do so whole: a label confused, more often than a tub; our choice, no source. */
const whole = 0.8;
/** The weight moved is summed over so many SDs about where the sheet is likeliest. */
const reach = 5;
const steps = 40;

/**
 * Log likelihood of a sheet on which the weight of a line, or a share of it that may be anything between none and all, stands on
 * another line: summed over the weight moved, kg, which keeps the balance as it was. Per log weight, as logLikelihood; of a line
 * left with nothing only the sum of both is a weight.
 */
export const movedLikelihood = (truth: TrueSheet, sheet: Sheet, { line, movedTo }: KeyingError): number => {
  const from = sheet.linesKg[line] as number;
  const on = sheet.linesKg[movedTo] as number;
  const { likeliest, sd } = movedKg(truth, sheet, { line, movedTo });
  const low = Math.max(0, Math.min(...likeliest) - reach * sd);
  const high = Math.min(on, Math.max(...likeliest) + reach * sd);
  if (!(high > low)) return Number.NEGATIVE_INFINITY;
  const step = (high - low) / steps;
  let sum = 0;
  for (let k = 0; k < steps; k++) {
    const moved = low + (k + 0.5) * step;
    const linesKg = sheet.linesKg.slice();
    linesKg[line] = from + moved;
    linesKg[movedTo] = on - moved;
    const isWhole = !(from > 0);
    // density of the share moved, times the change of the weights' logarithms
    const perKg = isWhole ? on / moved / (on - moved) : (from / (from + moved) ** 2) * (on / (on - moved));
    const part = isWhole ? whole : 1 - whole;
    sum += part * perKg * step * Math.exp(logLikelihood(truth, { ...sheet, linesKg }));
  }
  return Math.log(sum);
};

/** Weight that most likely stands on the other line, kg: about what is expected, and about the cutter's own way; and its SD. */
export const movedKg = (
  truth: TrueSheet,
  sheet: Sheet,
  { line, movedTo }: Pick<KeyingError, 'line' | 'movedTo'>,
): { likeliest: number[]; sd: number } => {
  const { k, inverse } = truth;
  const drained = drainedKgOf(sheet);
  const across = (j: number): number =>
    (inverse[line * k + j] as number) - (inverse[movedTo * k + j] as number);
  const precision = across(line) - across(movedTo);
  const likeliest = [undefined, truth.ownWay].map((way) => {
    let pull = 0;
    for (let j = 0; j < k; j++)
      pull +=
        across(j) *
        ((sheet.linesKg[j] as number) / drained - (truth.share[j] as number) - (way?.offset[j] ?? 0));
    return (-pull / precision) * drained;
  });
  return { likeliest, sd: drained / Math.sqrt(precision) };
};
