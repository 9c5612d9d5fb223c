import { binomialAtLeast } from '../../tables/betaDistribution.ts';
import { chiSquaredUpper } from '../../tables/gammaDistribution.ts';
import { kilogramsPer } from '../../units/weight.ts';
import type { Sheet, Sheets } from './sheets.ts';

const fewestPeers = 150;
const fewestOwn = 40;
/** Lines that are multiples of so many divisions must exceed those of the peers by this share, or it is a matter of taste. */
const leastExcess = 0.05;
/** Multiples of the step that lines and whole sheets may be written in; a sheet counts as round where chance gives it this seldom. */
const multiples = [2, 5, 10, 20, 25, 50, 100];
/** Lines are counted by their last two digits in steps, of which the last is tested; every multiple divides it. */
const lineEnds = 100;
const roundByChance = 0.003;
const fewestLines = 3;
/** Scales for cuts of meat show 0.1 lb or finer: twice that is nobody's division, kg. */
const coarserThanScales = 0.09;
/** Round sheets that anybody is allowed, and how many times the peers' share of them. */
const allowed = 0.015;
const ownWays = 2;
const fewestMates = 30;

/**
 * p-values of a cutter's end digits and of whole sheets in round weights against the other cutters of the store, and how
 * round the lines are; places of the round sheets. NaN: cannot be told.
 */
export type DigitEvidence = {
  p: number;
  sheets: number;
  /** p-value of whole sheets in weights rounder than any scale shows. */
  coarse: number;
  /** Divisions of the scale that more lines are multiples of than the peers'; share of such lines, own and peers'. */
  divisions: number;
  round: number;
  peersRound: number;
  places: number[];
};
const unknown: DigitEvidence = {
  p: Number.NaN,
  sheets: Number.NaN,
  coarse: Number.NaN,
  divisions: Number.NaN,
  round: Number.NaN,
  peersRound: Number.NaN,
  places: [],
};

/**
 * Last digits of the weights as sent, counted in the step of the store's scale, against those of the other cutters of the
 * same store (or, where these are few, of all stores with that step): a scale that shows 0.05 makes only 0 and 5 for
 * everybody. Chi-squared of two samples, one-sided by asking for more round lines (Mosimann, Wiseman & Edelman 1995
 * Account. Res. 4:31). `step`: division of each store's scale (`scaleSteps`). By code of the
 * cutter.
 */
export const endDigits = (all: Sheets, step: readonly number[]): DigitEvidence[] => {
  const { sheets, cutters } = all;
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
    for (const line of sheet.lines) {
      const steps = Math.round(line / size);
      add(`cutter ${sheet.cutter} ${sheet.store}`, steps);
      add(`cutter ${sheet.cutter} step ${size}`, steps);
      add(`store ${sheet.store}`, steps);
      add(`step ${size}`, steps);
    }
  }
  const of = (key: string): Float64Array => counts.get(key) ?? new Float64Array(lineEnds);
  const round = roundSheets(all, step);
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
    return total(own) < fewestOwn
      ? unknown
      : { ...evidenceOf(own, expected, noise), ...(round[cutter] as RoundSheets) };
  });
};

type RoundSheets = Pick<DigitEvidence, 'sheets' | 'coarse' | 'places'>;

/** Sheets all of whose lines are multiples of the same many steps, against the usual share of such sheets among other cutters with the same step. */
const roundSheets = (all: Sheets, step: readonly number[]): RoundSheets[] => {
  const { sheets, units } = all;
  const roundTo = sheets.map(({ lines, store }) => {
    const size = step[store] as number;
    if (Number.isNaN(size) || lines.length < fewestLines) return 0;
    const counts = lines.map((line) => Math.round(line / size));
    const many = multiples.findLast(
      (one) => one ** -lines.length < roundByChance && counts.every((count) => count % one === 0),
    );
    return (many ?? 0) * size * kilogramsPer(units[store] as string);
  });
  const round = tooMany(all, step, (place) => (roundTo[place] as number) > 0);
  const coarse = tooMany(all, step, (place) => (roundTo[place] as number) >= coarserThanScales);
  return round.map((own, cutter) => ({
    sheets: own.p,
    coarse: (coarse[cutter] as { p: number }).p,
    places: own.places,
  }));
};

/** p-value of a cutter's count of such sheets against the others', and their places. */
const tooMany = (
  { sheets, ofCutter }: Sheets,
  step: readonly number[],
  isSuch: (place: number) => boolean,
): { p: number; places: number[] }[] => {
  const isRound = sheets.map((_, place) => isSuch(place));
  const shares = ofCutter.map(
    (own) => own.filter((place) => isRound[place] === true).length / Math.max(1, own.length),
  );
  const stepsOf = ofCutter.map(
    (own) => step[(sheets[own[own.length - 1] as number] as Sheet).store] as number,
  );
  const inStore = new Map<number, { n: number; round: number }>();
  for (const [place, { store }] of sheets.entries()) {
    const all = inStore.get(store) ?? { n: 0, round: 0 };
    inStore.set(store, { n: all.n + 1, round: all.round + (isRound[place] === true ? 1 : 0) });
  }
  // a second, coarser scale in the room is used by the others too
  const ofMates = (own: readonly number[]): number => {
    const stores = new Set(own.map((place) => (sheets[place] as Sheet).store));
    let [n, round] = [0, 0];
    for (const store of stores) {
      n += inStore.get(store)?.n ?? 0;
      round += inStore.get(store)?.round ?? 0;
    }
    const mine = own.filter((place) => isRound[place] === true).length;
    return n - own.length < fewestMates ? 0 : (round - mine) / (n - own.length);
  };
  return ofCutter.map((own, cutter) => {
    const places = own.filter((place) => isRound[place] === true);
    // the upper fifth is left out, so that those who write sheets do not set the measure
    const peers = shares
      .filter((_, other) => other !== cutter && stepsOf[other] === stepsOf[cutter])
      .sort((a, b) => a - b);
    const usual = peers.slice(0, Math.ceil(0.8 * peers.length));
    const mean = Math.max(
      usual.reduce((sum, share) => sum + share, 0) / Math.max(1, usual.length),
      ofMates(own),
    );
    return {
      p: binomialAtLeast(places.length, own.length, Math.min(0.5, allowed + ownWays * mean)),
      places,
    };
  });
};

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
