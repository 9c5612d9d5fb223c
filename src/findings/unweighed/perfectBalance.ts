import { binomialAtLeast } from '../../tables/betaDistribution.ts';
import { normalCdf } from '../../tables/normalDistribution.ts';
import { countEvidence, shareInDoubt } from './eValues.ts';
import { roomShares, strays } from './ownWay.ts';
import { gridOf } from './roundSheets.ts';
import type { Sheet, Sheets } from './sheets.ts';

/** A sheet balances where what came out is what came in to less than this part of a scale division. */
const balanced = 0.5;
/** Such sheets that anybody is allowed, and how many times the others' odds of them. */
const allowed = 0.005;
const ownWays = 1.4;
/** Tests of others that a share is taken from, at least; above the largest share of theirs nothing can be told. */
const fewestOthers = 30;
const fewestToTrim = 3;
const largestShare = 0.25;
/** Sheets near balance, and far from it, divisions of their own grid; share of a careful hand's sheets that are far, at most. */
const nearly = 1.5;
const far = 2.5;
const carefulFar = 0.3;

/** e-value of too many tests that balance to the last division, their places and the share expected. NaN: cannot be told. */
export type BalanceEvidence = { e: number; places: number[]; expected: number };

/**
 * Tests in which nothing at all is lost: a saw, a board and a drip always take something, so sheets whose last line is what
 * the others leave stand out one by one, however few of a cutter's tests they are. How often the division of the scale makes
 * an honest sheet balance is taken from the other cutters' tests of the same kind on scales of the same division, and from
 * the mates in the store, whichever is more: a room that works out one line has its own share. One without mates may always do so.
 * The doubt is a hand so careful that next to nothing is lost. `step`: division of each store's scale (`scaleSteps`). By code of the cutter.
 */
export const perfectBalance = (all: Sheets, step: readonly number[]): BalanceEvidence[] => {
  const stepAt = (place: number): number => step[(all.sheets[place] as Sheet).store] as number;
  const left = all.sheets.map((sheet, place) => leftOver(sheet, stepAt(place)));
  const isEven = left.map(({ isNone }) => isNone);
  const ofStep = sharesBy(all, isEven, ({ kind, store }) => `${kind} ${step[store]}`);
  const rooms = roomShares(
    all,
    isEven.map((even, place) => (Number.isNaN(stepAt(place)) ? undefined : even)),
  );
  const counted = all.ofCutter.map((own, cutter) => {
    const known = own.filter((place) => !Number.isNaN(stepAt(place)));
    const places = known.filter((place) => isEven[place] === true);
    const room = rooms[cutter]?.share as number;
    let sum = 0;
    for (const place of known) sum += Math.max(ofStep(place), Number.isNaN(room) ? 0 : room);
    const expected = sum / known.length;
    const stray = strays(known.map((place) => isEven[place] === true));
    return {
      ...(Number.isNaN(room)
        ? { count: stray.places.length, n: stray.among }
        : { count: places.length, n: known.length }),
      // an unknown share makes the mean NaN
      rate: expected <= largestShare ? usualAtMost(expected) : Number.NaN,
      harmless: byCareful(known.map((place) => left[place] as LeftOver)),
      places,
      expected,
    };
  });
  const careful = shareInDoubt(counted);
  return counted.map(({ count, n, rate, harmless, places, expected }) => ({
    e: countEvidence(count, n, rate, careful * harmless),
    places,
    expected,
  }));
};

/**
 * What a sheet leaves over, in divisions of the grid that its lines lie on; and the chance that a sheet near balance leaves none, where in truth
 * nothing is lost: the sum of its rounding errors, of variance 1/12 each.
 */
type LeftOver = { divisions: number; isNone: boolean; noneOfNear: number };

const leftOver = ({ lines, unaccounted }: Sheet, step: number): LeftOver => {
  const out = lines.reduce((sum, line) => sum + line, 0);
  const left = ((unaccounted / 100) * out) / (1 - unaccounted / 100);
  const sd = Math.sqrt(lines.length / 12);
  const within = (divisions: number): number => 2 * normalCdf(divisions / sd) - 1;
  return {
    divisions: Math.abs(left) / (gridOf(lines, step) * step),
    isNone: Math.abs(left) < balanced * step,
    noneOfNear: within(balanced) / within(nearly),
  };
};

/**
 * p-value where a careful hand is why little is left: it leaves a division as well where it leaves none, as rounding does, and seldom leaves
 * many.
 */
const byCareful = (own: readonly LeftOver[]): number => {
  const near = own.filter(({ divisions, isNone }) => isNone || divisions < nearly);
  const none = near.filter(({ isNone }) => isNone).length;
  const chance = near.reduce((sum, { noneOfNear }) => sum + noneOfNear, 0) / near.length;
  const many = own.filter(({ divisions, isNone }) => !isNone && divisions > far).length;
  return none === 0
    ? 1
    : binomialAtLeast(none, near.length, chance) * binomialAtLeast(many, own.length, carefulFar);
};

const usualAtMost = (expected: number): number =>
  allowed + (ownWays * expected) / (1 - expected + ownWays * expected);

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
