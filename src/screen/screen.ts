import { table } from 'arquero';
import { interquartileRange, median } from 'simple-statistics';
import type { Chain } from '../catalog/chain.ts';
import type { NormalizedNight } from '../normalize/normalized.ts';
import { nearestInTime } from '../tables/nearestInTime.ts';
import { duplicateTests } from './duplicateTests.ts';
import type { ScreenedNight } from './screened.ts';
import { type Coded, type ScreenFacts, screenFacts } from './screenFacts.ts';

const fewestForMedian = 8;
const fewestForHabit = 4;
/**
 * A piece cannot be true where it is this many times off the median and, in items bought in a wide range, this many SDs, read off
 * the quartiles so that wrong weights do not widen it; or 5 times off. Nearer ones are the review's, which knows how likely a slip is.
 */
const farthestFromMedian = 2.2;
const farthestSds = 4;
const farthestOfAll = 5;
const quartilesApart = 1.349;

/**
 * Sets aside tests that cannot be true, before any money is computed. Tests and outputs keep their rows and order; the
 * tests gain `state`, `reasons` and the review's columns, still empty. A loss beyond the tolerance is held only when it is
 * unlike the cutter's own other tests of the item, all of them and those about its time: a lasting one, also one that has
 * ended, is a habit for the findings to name, not an error.
 */
export const screen = (night: NormalizedNight, chain: Chain): ScreenedNight => {
  const facts = screenFacts(night, chain);
  const mainsOf = mainOutputs(facts, chain);
  const pieceKg = facts.receivedKg.map((kg, i) => kg / (facts.pieces[i] as number));
  const usualPiece = spreadsBy(facts.item, pieceKg);
  const usualLoss = mediansBy(facts.habit, facts.unaccounted);
  const nearbyLoss = nearbyMedians(facts.habit, facts.cutDay, facts.unaccounted);
  const isDuplicate = duplicateTests(facts);
  const errorFraction = chain.tolerances.unaccounted_error / 100;
  const reasons = Array.from({ length: facts.n }, (_, i) =>
    [
      ...unknownReasons(facts, i, mainsOf[facts.method.codes[i] as number]),
      ...weightReasons(pieceKg[i] as number, usualPiece[facts.item.codes[i] as number]),
      ...(isDuplicate[i] === 1 ? ['duplicate-test'] : []),
      ...balanceReasons(facts, i, {
        habit: usualLoss[facts.habit.codes[i] as number],
        nearby: nearbyLoss[i] as number,
        errorFraction,
      }),
    ].join(';'),
  );
  const verdicts = {
    state: reasons.map((codes) => (codes === '' ? 'used' : 'held')),
    reasons,
    cause: reasons.map(() => ''),
    causeChance: new Float64Array(facts.n).fill(Number.NaN),
  };
  return { tests: night.tests.assign(table(verdicts)), outputs: night.outputs };
};

type Usual = { median: number; n: number } | undefined;
type Spread = { median: number; n: number; sd: number } | undefined;

const knownBy = ({ codes, levels }: Coded, values: Float64Array): number[][] => {
  const groups: number[][] = levels.map(() => []);
  for (const [i, value] of values.entries())
    if (Number.isFinite(value)) groups[codes[i] as number]?.push(value);
  return groups;
};

/** Median and count by level, of the values that are known; undefined where none is. */
const mediansBy = (by: Coded, values: Float64Array): Usual[] =>
  knownBy(by, values).map((own) => (own.length === 0 ? undefined : { median: median(own), n: own.length }));

const spreadsBy = (by: Coded, values: Float64Array): Spread[] =>
  knownBy(by, values).map((own) =>
    own.length === 0
      ? undefined
      : { median: median(own), n: own.length, sd: interquartileRange(own) / quartilesApart },
  );

const mostNearby = 5;

/** Median of the five values of the same level nearest in time, the own one among them; NaN where none is known. */
const nearbyMedians = ({ codes, levels }: Coded, day: Float64Array, values: Float64Array): Float64Array => {
  const groups: number[][] = levels.map(() => []);
  for (const [i, value] of values.entries()) if (Number.isFinite(value)) groups[codes[i] as number]?.push(i);
  const found = new Float64Array(values.length).fill(Number.NaN);
  for (const own of groups)
    for (const i of own)
      found[i] = median(nearestInTime(own, i, { day, most: mostNearby }).map((j) => values[j] as number));
  return found;
};

/** Codes of the main outputs by method of item (-1 = never seen); undefined where the chain does not know the method. */
const mainOutputs = ({ method, lineOutput }: ScreenFacts, chain: Chain): (number[] | undefined)[] => {
  const codeOf = new Map(lineOutput.levels.map((name, code) => [name, code]));
  return method.levels.map((level) => {
    const [item, name] = level.split('\u0000');
    const entry = chain.methods.find((known) => known.method === name && known.item === item);
    return entry?.main.map((output) => codeOf.get(output) ?? -1);
  });
};

const unknownReasons = (facts: ScreenFacts, i: number, mains: readonly number[] | undefined): string[] => {
  const reasons: string[] = [];
  if (mains === undefined) reasons.push('method-unknown');
  const weighed = facts.weighed[i];
  if (weighed === '' || (weighed === 'in-bag' && Number.isNaN(facts.purgeKg[i] as number)))
    reasons.push('purge-unknown');
  const weighedOutputs = new Set<number>();
  let isBlank = false;
  for (let line = facts.lineStart[i] as number; line < (facts.lineStart[i + 1] as number); line++) {
    if (Number.isNaN(facts.lineKg[line] as number)) isBlank = true;
    else weighedOutputs.add(facts.lineOutput.codes[line] as number);
  }
  if (isBlank || mains?.some((output) => !weighedOutputs.has(output))) reasons.push('line-missing');
  return reasons;
};

const weightReasons = (pieceKg: number, usual: Spread): string[] => {
  if (!(pieceKg > 0)) return ['weight-out-of-range'];
  if (usual === undefined || usual.n < fewestForMedian) return [];
  const ratio = pieceKg / usual.median;
  const off = Math.max(ratio, 1 / ratio);
  const isFar = off > farthestFromMedian && Math.abs(pieceKg - usual.median) > farthestSds * usual.sd;
  return isFar || off > farthestOfAll ? ['weight-out-of-range'] : [];
};

const balanceReasons = (
  facts: ScreenFacts,
  i: number,
  { habit, nearby, errorFraction }: { habit: Usual; nearby: number; errorFraction: number },
): string[] => {
  const unaccounted = facts.unaccounted[i] as number;
  const rounding = facts.rounding[i] as number;
  if (Number.isNaN(unaccounted)) return [];
  if (unaccounted <= errorFraction + rounding && unaccounted >= -rounding - 1e-9) return [];
  const isLasting =
    habit !== undefined &&
    habit.n >= fewestForHabit &&
    [habit.median, nearby].some((usual) => Math.abs(usual - unaccounted) <= errorFraction);
  return isLasting ? [] : ['mass-balance'];
};
