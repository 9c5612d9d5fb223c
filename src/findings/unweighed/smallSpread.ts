import { median } from 'simple-statistics';
import type { Outcome } from '../../catalog/outcomes.ts';
import { chiSquaredLower } from '../../tables/gammaDistribution.ts';
import type { PeopleTests } from '../change/peopleTests.ts';
import { countEvidence } from './eValues.ts';

/** Outcomes that vary on their own in every honest test. */
const classes = ['main_cut', 'lean_trim', 'fat'] as const satisfies readonly Outcome[];
/** Tests this near to the cutter's usual shares, against the own median, are the nearest 2 % of the chain's; twice that many and 1 % are allowed. */
const nearShare = 0.02;
const allowed = 0.01;
const ownWays = 2;
/** Heavy tails: a variance knows about a third of what as many normal values would tell. */
const tailFactor = 3;
const bound = 3;
const fewestTests = 20;
const fewestOfItem = 4;

export type SpreadEvidence = { spread: number; near: number };

/**
 * Too little spread: p-value of the variance of a cutter's main cut about the own means by item (lower tail; Buyse et al.
 * 1999 Stat. Med. 18:3435), and e-value of too many tests very near to the own usual shares in all classes at once, as those
 * who weigh some and guess some have. NaN below 20 tests. By code of the cutter in `people`.
 */
export const smallSpread = (people: PeopleTests, scale: Record<Outcome, number>): SpreadEvidence[] => {
  const gaps = people.ofCutter.map((places) => relative(gapsOf(people, scale, places)));
  const all = gaps.flatMap((own) => own.near).sort((a, b) => a - b);
  const close = all[Math.floor(nearShare * all.length)] ?? Number.NaN;
  return gaps.map(({ squares, freedom, near }) =>
    near.length < fewestTests
      ? { spread: Number.NaN, near: Number.NaN }
      : {
          spread: chiSquaredLower(squares / tailFactor, freedom / tailFactor),
          near: countEvidence(
            near.filter((gap) => gap < close).length,
            near.length,
            allowed + ownWays * nearShare,
          ),
        },
  );
};

/** Gaps in own medians: a steady hand has small ones throughout, who guesses some of the tests has many of them beside the others. */
const relative = <Gaps extends { near: number[] }>(gaps: Gaps): Gaps => {
  if (gaps.near.length === 0) return gaps;
  const usual = median(gaps.near);
  return { ...gaps, near: gaps.near.map((gap) => gap / usual) };
};

/** Squares of main cut about its own means by item in SDs with their degrees of freedom, and each test's distance from them. */
const gapsOf = (
  people: PeopleTests,
  scale: Record<Outcome, number>,
  places: Int32Array,
): { squares: number; freedom: number; near: number[] } => {
  let [squares, freedom] = [0, 0];
  const near: number[] = [];
  for (const item of new Set(Array.from(places, (i) => people.item.codes[i] as number))) {
    const own = places.filter((i) => people.item.codes[i] === item);
    if (own.length < fewestOfItem) continue;
    const sums = new Float64Array(own.length);
    for (const outcome of classes)
      for (const [k, z] of standardized(people, own, { outcome, scale: scale[outcome] }).entries()) {
        sums[k] = (sums[k] as number) + z * z;
        if (outcome === 'main_cut') squares += z * z;
      }
    freedom += own.length - 1;
    // a mean of few tests lies near each of them
    for (const sum of sums) near.push((sum / classes.length) * (own.length / (own.length - 1)));
  }
  return { squares, freedom, near };
};

/** Some tests about their own mean in SDs, bounded; 0 where an outcome never varies. */
const standardized = (
  people: PeopleTests,
  own: Int32Array,
  { outcome, scale }: { outcome: Outcome; scale: number },
): number[] => {
  const mean = own.reduce((sum, i) => sum + (people.left[outcome][i] as number), 0) / own.length;
  return Array.from(own, (i) => {
    const sd = scale * (people.sd[outcome][i] as number);
    return sd > 0 ? Math.max(-bound, Math.min(bound, ((people.left[outcome][i] as number) - mean) / sd)) : 0;
  });
};
