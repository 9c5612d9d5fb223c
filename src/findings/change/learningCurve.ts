import type { Outcome } from '../../catalog/outcomes.ts';
import type { PeopleTests } from './peopleTests.ts';

/** Tests of people in their first months count as learning. */
export const learningDays = 365;
const halfLives = [30, 60, 90, 120];
const fewestTests = 30;
const fewestBeginners = 2;
const clear = 3;

/** How beginners start below their later level: size at the first day (unit of the outcome) and days in which half is gone. */
export type LearningCurve = { size: Record<Outcome, number>; halfLife: number; beginners: number };

/** What share of the beginner's gap is left at a tenure in days; 0 where the first day is not known or lies after the test. */
const gapLeft = (tenure: number, halfLife: number): number => (tenure >= 0 ? 2 ** (-tenure / halfLife) : 0);

/** Half-lives after which three quarters are learned and what is left can be taken out by the chain's curve. */
const learnedAfter = 2;

/** The day from which a beginner's tests tell of a lasting level; -Infinity where no curve or no first day is known. */
export const learnedOn = (curve: LearningCurve | undefined, since: number): number =>
  curve === undefined || Number.isNaN(since)
    ? Number.NEGATIVE_INFINITY
    : since + learnedAfter * curve.halfLife;

/**
 * The chain's learning curve from the tests of people with known first day who were tested in their first year and not
 * coached: least squares of what is left within each cutter on 2^(-tenure / half-life), half-life by best fit of value.
 * Undefined where no clear learning is seen.
 */
export const learningCurve = (
  people: PeopleTests,
  left: Record<Outcome, Float64Array>,
  { sinceOf, coached }: { sinceOf: (cutter: string) => number; coached: ReadonlySet<string> },
): LearningCurve | undefined => {
  const beginners = people.ofCutter.flatMap((places, code) => {
    const name = people.cutter.levels[code] as string;
    const since = sinceOf(name);
    const first = people.day[places[0] as number] as number;
    return coached.has(name) || !(first - since < learningDays) ? [] : [{ places, since }];
  });
  const count = beginners.reduce((sum, { places }) => sum + places.length, 0);
  if (beginners.length < fewestBeginners || count < fewestTests) return undefined;
  const fits = halfLives.map((halfLife) => ({
    halfLife,
    ...fitWithin(people, left.value, 'value', { beginners, halfLife }),
  }));
  const best = fits.reduce((top, fit) => (Math.abs(fit.z) > Math.abs(top.z) ? fit : top));
  if (!(Math.abs(best.z) > clear)) return undefined;
  const size = Object.fromEntries(
    (Object.keys(left) as Outcome[]).map((outcome) => {
      const fit = fitWithin(people, left[outcome], outcome, { beginners, halfLife: best.halfLife });
      return [outcome, Number.isFinite(fit.slope) ? fit.slope : 0];
    }),
  ) as LearningCurve['size'];
  return { size, halfLife: best.halfLife, beginners: beginners.length };
};

/** Slope on the curve within cutters, tests weighted by what they tell, and its z. */
const fitWithin = (
  people: PeopleTests,
  values: Float64Array,
  outcome: Outcome,
  { beginners, halfLife }: { beginners: readonly { places: Int32Array; since: number }[]; halfLife: number },
): { slope: number; z: number } => {
  let [squares, products] = [0, 0];
  for (const { places, since } of beginners) {
    const sd = people.sd[outcome];
    const curve = Float64Array.from(places, (i) => gapLeft((people.day[i] as number) - since, halfLife));
    const weight = Float64Array.from(places, (i) => ((sd[i] as number) > 0 ? 1 / (sd[i] as number) ** 2 : 0));
    const total = weight.reduce((sum, w) => sum + w, 0);
    if (!(total > 0)) continue;
    const center = (of: (place: number) => number): number =>
      weight.reduce((sum, w, k) => sum + w * of(k), 0) / total;
    const curveMean = center((k) => curve[k] as number);
    const valueMean = center((k) => values[places[k] as number] as number);
    for (const [k, w] of weight.entries()) {
      const off = (curve[k] as number) - curveMean;
      squares += w * off * off;
      products += w * off * ((values[places[k] as number] as number) - valueMean);
    }
  }
  return squares > 0 ? { slope: products / squares, z: products / Math.sqrt(squares) } : { slope: 0, z: 0 };
};

/** `left` without what is learning: what is left of a level that changes. */
export const withoutLearning = (
  people: PeopleTests,
  left: Record<Outcome, Float64Array>,
  { curve, sinceOf }: { curve: LearningCurve | undefined; sinceOf: (cutter: string) => number },
): Record<Outcome, Float64Array> => {
  if (curve === undefined) return left;
  const since = people.cutter.levels.map(sinceOf);
  const share = Float64Array.from(people.cutter.codes, (code, i) =>
    gapLeft((people.day[i] as number) - (since[code] as number), curve.halfLife),
  );
  return Object.fromEntries(
    (Object.keys(left) as Outcome[]).map((outcome) => [
      outcome,
      left[outcome].map((value, i) => value - (share[i] as number) * curve.size[outcome]),
    ]),
  ) as Record<Outcome, Float64Array>;
};
