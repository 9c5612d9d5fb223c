import type { Outcome } from '../catalog/outcomes.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import type { EffectRow } from '../model/modeled.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import { normalCdf } from '../tables/normalDistribution.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { chainNumbers } from './chainNumbers.ts';
import { listWithinFalseShare } from './fairness/bayesianFalseShare.ts';
import type { FindingRow } from './found.ts';
import type { GroupInput } from './groupFindings.ts';
import { noMoney, writtenFinding } from './writtenFinding.ts';

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
  const purge = bagged.map((test) => (100 * test.purgeKg) / test.drainedKg);
  const left = bagged.map((test) => 100 * test.unaccountedYield);
  const mean = (values: readonly number[]): number =>
    values.reduce((sum, value) => sum + value, 0) / values.length;
  const [middle, level] = [mean(purge), mean(left)];
  const squares = purge.reduce((sum, value) => sum + (value - middle) ** 2, 0);
  const slope =
    purge.reduce((sum, value, i) => sum + (value - middle) * ((left[i] as number) - level), 0) / squares;
  const noise = left.reduce((sum, value, i) => {
    const fitted = level + slope * ((purge[i] as number) - middle);
    return sum + (value - fitted) ** 2;
  }, 0);
  const se = Math.sqrt(noise / (bagged.length - 2) / squares);
  return se <= clearSe ? slope < takenOffTwice : Math.abs(effect + middle) < middle / 2;
};

const question = (
  row: EffectRow,
  { chance, own }: { chance: number; own: readonly MeasuredTest[] },
  { chain, asOfDay, seenDayOf }: GroupInput,
): FindingRow => {
  const { points } = chainNumbers(chain);
  const known = own.filter((test) => seenDayOf(test) < asOfDay).length / Math.max(1, own.length);
  // as sure before tonight as the tests known then alone make the same effect
  const wasSure =
    chanceOf({ ...row, sd: row.sd / Math.sqrt(known) }, chain.thresholds.effect_points) >=
    chain.thresholds.chance;
  return writtenFinding(
    {
      kind: 'scale-question',
      store: row.id,
      region: own[0]?.region ?? '',
      cutter: '',
      item: '',
      outcome: 'unaccounted',
      status: known > 0 && wasSure ? 'continuing' : 'new',
      since: isoFromDay(own.reduce((least, test) => Math.min(least, test.cutDay), asOfDay)),
      effect: row.effect,
      low: row.low,
      high: row.high,
      chance,
      tests: row.tests,
      comparedWith: 'the other stores, same items and lines',
      money: noMoney,
      size:
        row.rawMean < 0
          ? `outputs weigh ${points.format(-row.rawMean)} points more than what went in, which is ${points.format(-row.effect)} more than elsewhere, in the whole room`
          : `${points.format(-row.effect)} points less lost than elsewhere, in the whole room`,
      evidence: [...own].sort((a, b) => b.cutDay - a.cutDay || (a.testId < b.testId ? -1 : 1)),
      adjustments: ['item', 'cutters'],
    },
    chain,
  );
};
