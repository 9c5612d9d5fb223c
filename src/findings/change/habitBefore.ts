import type { Chain } from '../../catalog/chain.ts';
import { type Outcome, outcomes } from '../../catalog/outcomes.ts';
import type { EffectRow } from '../../model/modeled.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { habitsOf } from '../cutterFindings.ts';
import { type CoachedTests, levelBefore, type Mean, meanOf, type PriorsBefore } from './coachedLevels.ts';
import { chanceBeyond, type LevelPosterior } from './levelPrior.ts';
import { varying } from './peopleTests.ts';
import type { TimeLevels } from './timeLevels.ts';

const fewestTests = 3;
/** The raw mean is beyond the threshold by half of the SDs that a chance of 0.9 asks for: quick, as priors are not. */
const clearlyOff = 0.64;

/**
 * The habit that a cutter's tests before a coaching showed, by the rules that tell habits, with the priors of that day; ''
 * for none. It is what a coaching that names none was likely for, and rests on no test after, so that looking at its
 * outcome favors no verdict.
 */
export const habitBefore = (
  levels: TimeLevels,
  tests: CoachedTests,
  { chain, priors }: { chain: Chain; priors: PriorsBefore },
): string => {
  const { effect_points: threshold } = chain.thresholds;
  if (tests.before.length < fewestTests) return '';
  const rawOf = (outcome: Outcome): Mean =>
    meanOf(levels, outcome, varying(levels.people, tests.before, outcome));
  const mayShow = habitShows.some((outcome) => {
    const { mean, variance } = rawOf(outcome);
    return Math.abs(mean) - threshold > clearlyOff * Math.sqrt(variance);
  });
  if (!mayShow) return '';
  const lost = tests.before.reduce((sum, i) => sum + (levels.people.tests[i]?.unaccountedYield ?? 0), 0);
  const rows = outcomes.map((outcome): EffectRow => {
    const level = levelBefore(levels, tests, { outcome, priors, raw: rawOf(outcome) });
    const rawMean = outcome === 'unaccounted' ? (100 * lost) / tests.before.length : Number.NaN;
    return { ...rowOf(level, threshold), rawMean, outcome, id: tests.event.cutter };
  });
  return habitsOf(rows, chain)[0]?.kind ?? '';
};

/** Outcomes that habits of people are named on. */
const habitShows = ['unaccounted', 'saleable', 'main_cut', 'lean_trim'] as const satisfies readonly Outcome[];

/** A level as the effect of a cutter on an item, which the rules of habits read; what they do not is 0. */
const rowOf = (level: LevelPosterior, threshold: number): Omit<EffectRow, 'outcome' | 'id'> => {
  const { mean, sd } = level;
  return {
    kind: 'cutter-item',
    store: '',
    item: '',
    tests: 0,
    testsNeeded: 0,
    testSd: 0,
    rawMean: 0,
    expectedMean: 0,
    effect: mean,
    sd,
    low: mean - z975 * sd,
    high: mean + z975 * sd,
    reliability: 0,
    chanceBeyond: chanceBeyond(level, mean < 0 ? -1 : 1, threshold),
    expectedRank: 0,
    rankLow: 0,
    rankHigh: 0,
    status: 'ok',
    difference: 0,
    differenceSd: 0,
  };
};
