import { binomialAtLeast } from '../../tables/betaDistribution.ts';
import type { Sheet, Sheets } from './sheets.ts';

/** A sheet balances where what came out is what came in to less than this part of a scale division. */
const balanced = 0.5;
/** Such sheets that anybody is allowed, and how many times the others' odds of them. */
const allowed = 0.015;
const ownWays = 2;
/** Tests of others that a share is taken from, at least; above the largest share of theirs nothing can be told. */
const fewestOthers = 30;
const fewestToTrim = 3;
const largestShare = 0.25;

/** p-value of too many tests that balance to the last division, their places and the share expected. NaN: cannot be told. */
export type BalanceEvidence = { p: number; places: number[]; expected: number };

/**
 * Tests in which nothing at all is lost: a saw, a board and a drip always take something, so sheets whose last line is what
 * the others leave stand out one by one, however few of a cutter's tests they are. How often the division of the scale makes
 * an honest sheet balance is taken from the other cutters' tests of the same kind on scales of the same division, and from
 * the others in the store, whichever is more: a room that works out one line has its own share. `step`: division of each store's
 * scale (`scaleSteps`). By code of the cutter.
 */
export const perfectBalance = (all: Sheets, step: readonly number[]): BalanceEvidence[] => {
  const isEven = all.sheets.map((sheet) => isBalanced(sheet, step[sheet.store] as number));
  const ofStep = sharesBy(all, isEven, ({ kind, store }) => `${kind} ${step[store]}`);
  const ofStore = sharesBy(all, isEven, ({ store }) => `${store}`);
  return all.ofCutter.map((own): BalanceEvidence => {
    const known = own.filter((place) => !Number.isNaN(step[(all.sheets[place] as Sheet).store] as number));
    const places = known.filter((place) => isEven[place] === true);
    let sum = 0;
    for (const place of known)
      sum += Math.max(ofStep(place), Number.isNaN(ofStore(place)) ? 0 : ofStore(place));
    const expected = sum / known.length;
    return {
      // an unknown share makes the mean NaN
      p:
        expected <= largestShare
          ? binomialAtLeast(places.length, known.length, usualAtMost(expected))
          : Number.NaN,
      places,
      expected,
    };
  });
};

const usualAtMost = (expected: number): number =>
  allowed + (ownWays * expected) / (1 - expected + ownWays * expected);

/** In-going less out-coming weight in divisions of the scale is practically none. */
const isBalanced = ({ lines, unaccounted }: Sheet, step: number): boolean => {
  const out = lines.reduce((sum, line) => sum + line, 0);
  const left = ((unaccounted / 100) * out) / (1 - unaccounted / 100);
  return Math.abs(left) < balanced * step;
};

type Counts = { n: number; even: number };

/**
 * Share of balanced tests among the tests of other cutters with the same key, by place of a test; NaN for too few. With
 * three others or more the one with the most is left out, so that one who writes sheets does not set the measure.
 */
const sharesBy = (
  { sheets }: Sheets,
  isEven: readonly boolean[],
  keyOf: (sheet: Sheet) => string,
): ((place: number) => number) => {
  const groups = new Map<string, Map<number, Counts>>();
  for (const [place, sheet] of sheets.entries()) {
    const group = groups.get(keyOf(sheet)) ?? new Map<number, Counts>();
    const own = group.get(sheet.cutter) ?? { n: 0, even: 0 };
    group.set(sheet.cutter, { n: own.n + 1, even: own.even + (isEven[place] === true ? 1 : 0) });
    groups.set(keyOf(sheet), group);
  }
  const known = new Map<string, number>();
  return (place) => {
    const sheet = sheets[place] as Sheet;
    const key = `${keyOf(sheet)} of ${sheet.cutter}`;
    const share = known.get(key) ?? shareOfOthers(groups.get(keyOf(sheet)) ?? new Map(), sheet.cutter);
    known.set(key, share);
    return share;
  };
};

const shareOfOthers = (group: ReadonlyMap<number, Counts>, cutter: number): number => {
  const others = [...group]
    .filter(([other]) => other !== cutter)
    .map(([, counts]) => counts)
    .sort((a, b) => b.even - a.even);
  const counted = others.slice(others.length >= fewestToTrim ? 1 : 0);
  const n = counted.reduce((sum, one) => sum + one.n, 0);
  return n < fewestOthers ? Number.NaN : counted.reduce((sum, one) => sum + one.even, 0) / n;
};
