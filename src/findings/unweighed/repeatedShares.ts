import { median, medianAbsoluteDeviation } from 'simple-statistics';
import { binomialAtLeast } from '../../tables/betaDistribution.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import type { Sheet, Sheets } from './sheets.ts';

/** Earlier own tests of the same kind that a test is held against. */
const lookBack = 3;
/** Share of unlike pairs (different cutters) that come as close by chance; closer counts as the same shares. */
const closeByChance = 0.002;
/** A cutter's own tests lie closer to each other than to those of others by this factor at most, as people have their ways. */
const ownWays = 1.5;
/** Copied and guessed sheets that any cutter is allowed. */
const allowed = 0.01;
const fewestPairs = 200;
/** SD of a class, points, below which differences are rounding of the scale. */
const leastSd = 0.6;
/** Losses that are equal to this many points. */
const sameLoss = 0.03;

export type RepeatEvidence = {
  /** p-values of too many tests with shares, and with a loss, as in an earlier one of the same cutter; NaN: cannot be told. */
  shares: number;
  loss: number;
  compared: number;
  /** Places of the tests whose shares repeat. */
  places: number[];
};

/**
 * Tests whose shares are those of one of the cutter's last tests of the same kind although the piece weighs otherwise, and
 * tests that lose the same; how often chance does that is taken from pairs of tests by different cutters, which nobody
 * copies. Binomial; a few are allowed to anybody. By code of the cutter.
 */
export const repeatedShares = (all: Sheets): RepeatEvidence[] => {
  const spread = spreads(all);
  const pairs = strangerPairs(all);
  const distances = pairs.map(([a, b]) => distance(a, b, spread)).sort((a, b) => a - b);
  const close = distances[Math.floor(closeByChance * distances.length)] ?? Number.NaN;
  const isSameLoss = (a: Sheet, b: Sheet): boolean => Math.abs(a.unaccounted - b.unaccounted) <= sameLoss;
  const lossByChance = pairs.filter(([a, b]) => isSameLoss(a, b)).length / pairs.length;
  return all.ofCutter.map((own): RepeatEvidence => {
    const places: number[] = [];
    let [compared, comparisons, losses] = [0, 0, 0];
    const lastOf = new Map<number, Sheet[]>();
    for (const place of own) {
      const sheet = all.sheets[place] as Sheet;
      const earlier = (lastOf.get(sheet.kind) ?? []).filter(
        (other) => other.test.drainedKg !== sheet.test.drainedKg,
      );
      lastOf.set(sheet.kind, [...(lastOf.get(sheet.kind) ?? []), sheet].slice(-lookBack));
      if (earlier.length === 0) continue;
      compared++;
      comparisons += earlier.length;
      if (earlier.some((other) => distance(sheet, other, spread) < close)) places.push(place);
      if (earlier.some((other) => isSameLoss(sheet, other))) losses++;
    }
    if (compared === 0 || pairs.length < fewestPairs)
      return { shares: Number.NaN, loss: Number.NaN, compared, places };
    const chance = (single: number): number =>
      Math.min(0.9, allowed + 1 - (1 - Math.min(0.9, ownWays * single)) ** (comparisons / compared));
    return {
      shares: binomialAtLeast(places.length, compared, chance(closeByChance)),
      loss: binomialAtLeast(losses, compared, chance(lossByChance)),
      compared,
      places,
    };
  });
};

/** Each test with the next one of the same kind by another cutter. */
const strangerPairs = ({ sheets }: Sheets): [Sheet, Sheet][] => {
  const last = new Map<number, Sheet>();
  return sheets.flatMap((sheet): [Sheet, Sheet][] => {
    const other = last.get(sheet.kind);
    last.set(sheet.kind, sheet);
    return other === undefined || other.cutter === sheet.cutter ? [] : [[other, sheet]];
  });
};

/** Robust SD of each class by kind, points. */
const spreads = ({ sheets }: Sheets): Map<number, number[]> => {
  return new Map(
    [...groupedBy(sheets, (sheet) => sheet.kind)].map(([kind, own]) => [
      kind,
      (own[0] as Sheet).shares.map((_, k) => {
        const values = own.map((sheet) => sheet.shares[k] as number);
        return Math.max(
          leastSd,
          1.4826 * medianAbsoluteDeviation(values),
          Math.abs(median(values)) < 1e-9 ? leastSd : 0,
        );
      }),
    ]),
  );
};

/** Root mean square of the differences of shares in SDs, over the classes that either test has. */
const distance = (a: Sheet, b: Sheet, spread: ReadonlyMap<number, number[]>): number => {
  const sd = spread.get(a.kind) as number[];
  let [sum, n] = [0, 0];
  for (const [k, own] of sd.entries()) {
    const [x, y] = [a.shares[k] as number, b.shares[k] as number];
    if (x === 0 && y === 0) continue;
    sum += ((x - y) / own) ** 2;
    n++;
  }
  return n > 0 ? Math.sqrt(sum / n) : Number.POSITIVE_INFINITY;
};
