import { mean, median, medianAbsoluteDeviation } from 'simple-statistics';
import { binomialAtLeast } from '../../tables/betaDistribution.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { remembered } from '../../tables/remembered.ts';
import { kilogramsPer } from '../../units/weight.ts';
import { countEvidence, shareInDoubt } from './eValues.ts';
import { gridOf } from './roundSheets.ts';
import type { Sheet, Sheets } from './sheets.ts';

/** Earlier own tests of the same kind that a test is held against. */
const lookBack = 3;
/** Share of unlike pairs (different cutters) that come as close by chance; closer counts as the same shares. */
const closeByChance = 0.002;
/** Nearly as close: this many times as far. */
const nearly = 2;
/** How many times as steady as the chain a hand is, is known from few tests to this factor. */
const slack = 1.25;
/** Copied and guessed sheets that any cutter is allowed. */
const allowed = 0.005;
const fewestPairs = 200;
/** Pairs of the whole chain that a kind's own are counted together with. */
const borrowed = { close: 200, near: 20 };
/** SD of a class, points, below which differences are rounding of the scale. */
const leastSd = 0.6;
/** Division of a sheet as a share of drained weight, above which equal shares are rounding. */
const coarsest = 0.015;
/** Losses that are equal to this many points. */
const sameLoss = 0.03;

export type RepeatEvidence = {
  /** e-value of too many tests with shares as in an earlier one of the same cutter; NaN: cannot be told. */
  e: number;
  /** p-value of too many tests with a loss as in an earlier one. */
  loss: number;
  compared: number;
  /** Places of the tests whose shares repeat. */
  places: number[];
};

/**
 * Tests whose shares are those of one of the cutter's last tests of the same kind although the piece weighs otherwise, and
 * tests that lose the same; how often chance does that is taken from pairs of tests by different cutters, which nobody
 * copies. A steady hand comes close more often, and nearly as close more often still: what it would show is the doubt. `step`: division of
 * each store's scale (`scaleSteps`). By code of the cutter.
 */
export const repeatedShares = (all: Sheets, step: readonly number[]): RepeatEvidence[] => {
  const spread = spreads(all);
  const isFine = all.sheets.map((sheet) => {
    const size = step[sheet.store] as number;
    const divisionKg = size * gridOf(sheet.lines, size) * kilogramsPer(all.units[sheet.store] as string);
    return !(divisionKg > coarsest * sheet.test.drainedKg);
  });
  const pairs = strangerPairs(all, isFine);
  const chance = chances(pairs, spread);
  const counted = all.ofCutter.map((own) =>
    repeatsOf(
      own.filter((place) => isFine[place] === true),
      all,
      { spread, chance },
    ),
  );
  const steady = shareInDoubt(counted);
  return counted.map((own): RepeatEvidence => {
    const { count, n, rate, places } = own;
    const isTold = pairs.length >= fewestPairs && n > 0;
    return {
      e: isTold ? countEvidence(count, n, rate, steady * own.harmless) : Number.NaN,
      loss: isTold ? binomialAtLeast(own.losses, n, own.lossRate) : Number.NaN,
      compared: n,
      places,
    };
  });
};

/** How near the shares of two sheets that nobody copied come to each other, by kind; `times` as near as `close`. */
type Chances = {
  close: number;
  /** Median distance. */
  usual: number;
  within: (kind: number) => number;
  /** Share of the pairs as near among those nearly as near. */
  amongNear: (kind: number, times: number) => number;
  loss: number;
};

const chances = (pairs: readonly [Sheet, Sheet][], spread: ReadonlyMap<number, number[]>): Chances => {
  const ofKind = new Map<number, number[]>();
  for (const [a, b] of pairs) {
    const own = ofKind.get(a.kind);
    if (own === undefined) ofKind.set(a.kind, [distance(a, b, spread)]);
    else own.push(distance(a, b, spread));
  }
  for (const own of ofKind.values()) own.sort((a, b) => a - b);
  const all = [...ofKind.values()].flat().sort((a, b) => a - b);
  const close = all[Math.floor(closeByChance * all.length)] ?? Number.NaN;
  const under = (sorted: readonly number[], radius: number): number => {
    const first = sorted.findIndex((one) => one >= radius);
    return first < 0 ? sorted.length : first;
  };
  return {
    close,
    usual: all[Math.floor(all.length / 2)] ?? Number.NaN,
    within: (kind) => {
      const own = ofKind.get(kind) ?? [];
      return (under(own, close) + borrowed.close * closeByChance) / (own.length + borrowed.close);
    },
    amongNear: (kind, times) => {
      const own = ofKind.get(kind) ?? [];
      const radius = times * close;
      const whole = under(all, radius) / Math.max(1, under(all, nearly * radius));
      return (under(own, radius) + borrowed.near * whole) / (under(own, nearly * radius) + borrowed.near);
    },
    loss: pairs.filter(([a, b]) => isSameLoss(a, b)).length / pairs.length,
  };
};

const isSameLoss = (a: Sheet, b: Sheet): boolean => Math.abs(a.unaccounted - b.unaccounted) <= sameLoss;

type Repeats = {
  count: number;
  n: number;
  rate: number;
  harmless: number;
  losses: number;
  lossRate: number;
  places: number[];
};

const repeatsOf = (
  own: readonly number[],
  { sheets }: Sheets,
  { spread, chance }: { spread: ReadonlyMap<number, number[]>; chance: Chances },
): Repeats => {
  const compared: { place: number; kind: number; apart: number[] }[] = [];
  let losses = 0;
  const lastOf = new Map<number, Sheet[]>();
  for (const place of own) {
    const sheet = sheets[place] as Sheet;
    const last = lastOf.get(sheet.kind) ?? [];
    const earlier = last.filter((other) => other.test.drainedKg !== sheet.test.drainedKg);
    lastOf.set(sheet.kind, [...last, sheet].slice(-lookBack));
    if (earlier.length === 0) continue;
    compared.push({ place, kind: sheet.kind, apart: earlier.map((other) => distance(sheet, other, spread)) });
    if (earlier.some((other) => isSameLoss(sheet, other))) losses++;
  }
  const n = compared.length;
  if (n === 0)
    return { count: 0, n, rate: Number.NaN, harmless: 1, losses, lossRate: Number.NaN, places: [] };
  const nearest = compared.map(({ apart }) => Math.min(...apart));
  const places = compared.filter((_, i) => (nearest[i] as number) < chance.close).map(({ place }) => place);
  const near = compared.filter((_, i) => (nearest[i] as number) < nearly * chance.close);
  const all = compared.flatMap(({ apart }) => apart);
  const times = Math.max(1, (slack * chance.usual) / median(all));
  const meanOver = (kinds: readonly { kind: number }[], of: (kind: number) => number): number => {
    const known = new Map<number, number>();
    return mean(kinds.map(({ kind }) => remembered(known, kind, () => of(kind))));
  };
  const anyOf = (single: number): number => 1 - (1 - Math.min(1, single)) ** (all.length / n);
  return {
    count: places.length,
    n,
    rate: allowed + anyOf(meanOver(compared, chance.within)),
    harmless:
      near.length === 0
        ? 1
        : binomialAtLeast(
            places.length,
            near.length,
            meanOver(near, (kind) => chance.amongNear(kind, times)),
          ),
    losses,
    lossRate: allowed + anyOf(chance.loss),
    places,
  };
};

/** Each test with the next one of the same kind by another cutter. */
const strangerPairs = ({ sheets }: Sheets, isFine: readonly boolean[]): [Sheet, Sheet][] => {
  const last = new Map<number, Sheet>();
  return sheets.flatMap((sheet, place): [Sheet, Sheet][] => {
    if (isFine[place] !== true) return [];
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
