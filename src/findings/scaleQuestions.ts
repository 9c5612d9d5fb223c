import { linearRegression, linearRegressionLine, mean } from 'simple-statistics';
import type { Outcome } from '../catalog/outcomes.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import type { EffectRow } from '../model/modeled.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import { normalCdf } from '../tables/normalDistribution.ts';
import { chainNumbers } from './chainNumbers.ts';
import { listWithinFalseShare } from './fairness/bayesianFalseShare.ts';
import type { FindingRow } from './found.ts';
import { effectFacts, type GroupInput, wasSure } from './groupFindings.ts';
import { writtenFinding } from './writtenFinding.ts';

const mostFalse = 0.1;
/** More must come out than went in by so many points, and differ from elsewhere by as many: less is rounding. */
const leastGap = 0.25;
/** Share of purge that unaccounted weight falls by with each part of purge, from which on purge is taken off twice. */
const takenOffTwice = -0.5;
/** SE of that share up to which the tests tell it. */
const clearSe = 0.15;

/**
 * Stores in whose tests more comes out than went in, or clearly less is lost than elsewhere while more is sold of it, all the
 * time: a scale or a tare that is off weighs every class up alike. Nobody is meant. Not told where the tests were weighed
 * after draining although purge is taken off once more, which looks the same, nor of a store in `told`, which was asked
 * about its scale for another reason.
 */
export const scaleQuestions = (input: GroupInput, told: ReadonlySet<string>): FindingRow[] => {
  const { chain, effects, used } = input;
  const testsOf = groupedBy(used, (test) => test.store);
  const saleable = new Map(
    effects.filter((row) => isOfStore(row, 'saleable')).map((row) => [row.id, row.effect]),
  );
  const asked = effects
    .filter((row) => isOfStore(row, 'unaccounted') && row.effect < 0 && !told.has(row.id))
    .filter((row) => (saleable.get(row.id) ?? 0) > 0)
    .map((row) => ({ row, chance: chanceOf(row, chain.thresholds.effect_points) }))
    .filter(({ chance }) => chance >= chain.thresholds.chance)
    .filter(({ row }) => !isPurgeTwice(row, testsOf.get(row.id) ?? []));
  const { isListed } = listWithinFalseShare(
    asked.map(({ chance }) => chance),
    mostFalse,
  );
  return asked
    .filter((_, i) => isListed[i])
    .map(({ row, chance }) => question(row, { chance, own: testsOf.get(row.id) ?? [] }, input));
};

const isOfStore = (row: EffectRow, outcome: Outcome): boolean =>
  row.kind === 'store' && row.outcome === outcome && row.status === 'ok';

/** Chance that the store lies beyond the threshold below the others, or that more comes out of its tests than went in. */
const chanceOf = ({ effect, sd, chanceBeyond, rawMean }: EffectRow, threshold: number): number =>
  Math.max(
    -effect > threshold ? chanceBeyond : 0,
    // both below the others and below nothing, whichever is less sure
    sd > 0 ? normalCdf((Math.min(-effect, -rawMean) - leastGap) / sd) : 0,
  );

/**
 * Whether the store weighs after draining and purge is taken off once more: its unaccounted weight then falls by as much as
 * the purge of each test (slope of one on the other); where too little tells that, whether its mean purge fills the gap.
 */
const isPurgeTwice = ({ effect }: EffectRow, own: readonly MeasuredTest[]): boolean => {
  const bagged = own.filter((test) => test.weighed === 'in-bag' && test.purgeKg > 0);
  if (bagged.length === 0) return false;
  const points = bagged.map((test): [number, number] => [
    (100 * test.purgeKg) / test.drainedKg,
    100 * test.unaccountedYield,
  ]);
  const line = linearRegression(points);
  const fitted = linearRegressionLine(line);
  const middle = mean(points.map(([purge]) => purge));
  const squares = points.reduce((sum, [purge]) => sum + (purge - middle) ** 2, 0);
  const noise = points.reduce((sum, [purge, left]) => sum + (left - fitted(purge)) ** 2, 0);
  const se = Math.sqrt(noise / (bagged.length - 2) / squares);
  return se <= clearSe ? line.m < takenOffTwice : Math.abs(effect + middle) < middle / 2;
};

const question = (
  row: EffectRow,
  { chance, own }: { chance: number; own: readonly MeasuredTest[] },
  input: GroupInput,
): FindingRow => {
  const { chain } = input;
  const { points } = chainNumbers(chain);
  const chanceAt = (share: number): number =>
    share > 0 ? chanceOf({ ...row, sd: row.sd / Math.sqrt(share) }, chain.thresholds.effect_points) : 0;
  return writtenFinding(
    {
      ...effectFacts(row, own, input),
      kind: 'scale-question',
      status: wasSure(chanceAt, own, input) ? 'continuing' : 'new',
      chance,
      comparedWith: 'the other stores, same items and lines',
      size:
        row.rawMean < 0
          ? `outputs weigh ${points.format(-row.rawMean)} points more than what went in, which is ${points.format(-row.effect)} more than elsewhere, in the whole room`
          : `${points.format(-row.effect)} points less lost than elsewhere, in the whole room`,
    },
    chain,
  );
};
