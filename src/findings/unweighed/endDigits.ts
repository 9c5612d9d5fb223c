import { chiSquaredUpper } from '../../tables/gammaDistribution.ts';
import type { Sheets } from './sheets.ts';

const fewestPeers = 150;
const fewestOwn = 40;
/** Lines that are multiples of so many divisions must exceed those of the peers by this share, or it is a matter of taste. */
const leastExcess = 0.05;
/** Multiples of the step that lines may be rounded to. */
const multiples = [2, 5, 10, 20, 25, 50, 100];
/** Lines are counted by their last two digits in steps, of which the last is tested; every multiple divides it. */
const lineEnds = 100;

/** p-value of a cutter's end digits against the other cutters of the store, and how round the lines are. NaN: cannot be told. */
export type DigitEvidence = {
  p: number;
  /** Divisions of the scale that more lines are multiples of than the peers'; share of such lines, own and peers'. */
  divisions: number;
  round: number;
  peersRound: number;
};
const unknown: DigitEvidence = {
  p: Number.NaN,
  divisions: Number.NaN,
  round: Number.NaN,
  peersRound: Number.NaN,
};

/**
 * Last digits of the weights as sent, counted in the step of the store's scale, against those of the other cutters of the
 * same store (or, where these are few, of all stores with that step): a scale that shows 0.05 makes only 0 and 5 for
 * everybody. Chi-squared of two samples, one-sided by asking for more round lines (Mosimann, Wiseman & Edelman 1995
 * Account. Res. 4:31). `step`: division of each store's scale (`scaleSteps`). By code of the
 * cutter.
 */
export const endDigits = (all: Sheets, step: readonly number[]): DigitEvidence[] => {
  const whole = digitsOf(all, step, () => true);
  const finest = digitsOf(all, step, (steps) => !isOnCoarser(steps));
  return whole.map((own, cutter) => ({ ...own, p: (finest[cutter] as DigitEvidence).p }));
};

const digitsOf = (
  { sheets, cutters }: Sheets,
  step: readonly number[],
  isCounted: (steps: readonly number[]) => boolean,
): DigitEvidence[] => {
  const counts = new Map<string, Float64Array>();
  const add = (key: string, steps: number): void => {
    const own = counts.get(key) ?? new Float64Array(lineEnds);
    own[steps % lineEnds] = (own[steps % lineEnds] as number) + 1;
    counts.set(key, own);
  };
  const places = cutters.map(() => new Set<number>());
  for (const sheet of sheets) {
    const size = step[sheet.store] as number;
    if (Number.isNaN(size)) continue;
    (places[sheet.cutter] as Set<number>).add(sheet.store);
    const counted = sheet.lines.map((line) => Math.round(line / size));
    if (!isCounted(counted)) continue;
    for (const steps of counted) {
      add(`cutter ${sheet.cutter} ${sheet.store}`, steps);
      add(`cutter ${sheet.cutter} step ${size}`, steps);
      add(`store ${sheet.store}`, steps);
      add(`step ${size}`, steps);
    }
  }
  const of = (key: string): Float64Array => counts.get(key) ?? new Float64Array(lineEnds);
  return cutters.map((_, cutter) => {
    const own = new Float64Array(lineEnds);
    const expected = new Float64Array(lineEnds);
    const noise = new Float64Array(lineEnds);
    for (const store of places[cutter] as Set<number>) {
      const mine = of(`cutter ${cutter} ${store}`);
      const size = step[store] as number;
      const mates = less(of(`store ${store}`), mine);
      const peers =
        total(mates) >= fewestPeers ? mates : less(of(`step ${size}`), of(`cutter ${cutter} step ${size}`));
      if (total(peers) < fewestPeers) return unknown;
      const n = total(mine);
      for (let d = 0; d < lineEnds; d++) {
        own[d] = (own[d] as number) + (mine[d] as number);
        const mean = (n * ((peers[d] as number) + 5 / lineEnds)) / (total(peers) + 5);
        expected[d] = (expected[d] as number) + mean;
        noise[d] = (noise[d] as number) + mean * (1 + n / total(peers));
      }
    }
    return total(own) < fewestOwn ? unknown : evidenceOf(own, expected, noise);
  });
};

/** A sheet that another scale may have shown is judged whole (`roundSheets`), not by its digits. */
const isOnCoarser = (steps: readonly number[]): boolean =>
  steps.length > 0 && [2, 5].some((grid) => steps.every((count) => count % grid === 0));

const less = (all: Float64Array, own: Float64Array): Float64Array =>
  all.map((value, d) => value - (own[d] as number));
const total = (counts: Float64Array): number => counts.reduce((sum, value) => sum + value, 0);

/** From own lines, those expected and the variance of own - expected (the peers' own chance included) by line end. */
const evidenceOf = (
  own: Float64Array,
  expected: Float64Array,
  noise: Float64Array,
): Pick<DigitEvidence, 'p' | keyof Rounding> => {
  const [digits, means, variances] = [lastDigits(own), lastDigits(expected), lastDigits(noise)];
  let [statistic, cells] = [0, 0];
  for (const [d, mean] of means.entries()) {
    if (mean < 1) continue;
    statistic += ((digits[d] as number) - mean) ** 2 / (variances[d] as number);
    cells++;
  }
  const n = total(own);
  const excess = ({ round, peersRound }: Rounding): number => round - peersRound;
  const grids = multiples.map((divisions) => ({
    divisions,
    round: onGrid(own, divisions) / n,
    peersRound: onGrid(expected, divisions) / n,
  }));
  const most = grids.reduce((best, grid) => (excess(grid) > excess(best) ? grid : best));
  const isRounder = grids.some((grid) => 10 % grid.divisions === 0 && excess(grid) >= leastExcess);
  return { p: isRounder && cells > 1 ? chiSquaredUpper(statistic, cells - 1) : 1, ...most };
};

const lastDigits = (ends: Float64Array): Float64Array => {
  const digits = new Float64Array(10);
  for (const [end, count] of ends.entries()) digits[end % 10] = (digits[end % 10] as number) + count;
  return digits;
};

type Rounding = Pick<DigitEvidence, 'divisions' | 'round' | 'peersRound'>;

/** How many lines with these ends are multiples of so many divisions. */
const onGrid = (ends: Float64Array, divisions: number): number =>
  ends.reduce((sum, count, end) => sum + (end % divisions === 0 ? count : 0), 0);
