import type { Outcome } from '../../catalog/outcomes.ts';
import type { EffectRow } from '../../model/modeled.ts';
import { normalCdf, z975 } from '../../tables/normalDistribution.ts';
import { type LevelPrior, levelPosterior, levelPrior } from '../change/levelPrior.ts';
import type { PeopleTests } from '../change/peopleTests.ts';

/** Outcomes that habits are decided on: only these are followed over time. */
export const followedOutcomes = [
  'saleable',
  'main_cut',
  'lean_trim',
  'fat',
  'unaccounted',
  'value',
] as const satisfies readonly Outcome[];
type Followed = (typeof followedOutcomes)[number];

/** A running sum over some tests of one id: how much they tell of each followed outcome, and what. */
export type Told = { tests: number; weight: Float64Array; sum: Float64Array };

/** What no test tells. */
export const nothingTold = (): Told => ({
  tests: 0,
  weight: new Float64Array(followedOutcomes.length),
  sum: new Float64Array(followedOutcomes.length),
});

/** Adds one test to what is told, by what `left` says it differs from expected; changes `told`. */
export const tell = (
  told: Told,
  { sd: sds, left }: Pick<PeopleTests, 'sd' | 'left'>,
  place: number,
): void => {
  told.tests++;
  for (const [k, outcome] of followedOutcomes.entries()) {
    const sd = sds[outcome][place] as number;
    if (!(sd > 0)) continue;
    told.weight[k] = (told.weight[k] as number) + 1 / sd ** 2;
    told.sum[k] = (told.sum[k] as number) + (left[outcome][place] as number) / sd ** 2;
  }
};

/** The effects of one id with what all its tests tell; for a room its own effect is added back to what is left of its tests. */
export type EffectHistory = { rows: readonly EffectRow[]; whole: Told };
/** Priors by followed outcome of the same kind and item. */
export type EffectPriors = Record<Followed, LevelPrior>;

const mostFitted = 1000;

/** How the effects of one kind and item lie, by outcome, from the raw means of at most 1,000 of them evenly chosen. */
export const effectPriors = (histories: readonly EffectHistory[]): EffectPriors => {
  const step = Math.ceil(histories.length / mostFitted);
  const chosen = histories.filter((_, i) => i % step === 0);
  return Object.fromEntries(
    followedOutcomes.map((outcome, k) => {
      const known = chosen.filter(({ whole }) => (whole.weight[k] as number) > 0);
      return [
        outcome,
        levelPrior(
          known.map((history) => rawMean(history, history.whole, k)),
          known.map(({ whole }) => 1 / (whole.weight[k] as number)),
        ),
      ];
    }),
  ) as EffectPriors;
};

const rawMean = ({ rows }: EffectHistory, told: Told, k: number): number => {
  const row = rows[0] as EffectRow;
  const own =
    row.kind === 'store-item' || row.kind === 'store'
      ? (rowOf(rows, followedOutcomes[k] as Followed)?.effect ?? 0)
      : 0;
  return own + (told.sum[k] as number) / (told.weight[k] as number);
};

const rowOf = (rows: readonly EffectRow[], outcome: Outcome): EffectRow | undefined =>
  rows.find((row) => row.outcome === outcome);

const fewestTests = 3;
/** Tonight's SD over that of the simple posterior lies within these. */
const [leastRatio, mostRatio] = [0.7, 1.5];

/**
 * The effects of one id had only `told` of all its tests been known: posterior of their mean under the night's prior,
 * brought to tonight's effect and SD when all tests are told, and by the share of what is told before that. Outcomes that
 * are not followed stay as they are.
 */
export const effectsAsTold = (
  history: EffectHistory,
  told: Told,
  { priors, threshold }: { priors: EffectPriors; threshold: number },
): EffectRow[] => history.rows.map((row) => rowAsTold(row, history, told, { priors, threshold }));

const rowAsTold = (
  row: EffectRow,
  history: EffectHistory,
  told: Told,
  { priors, threshold }: { priors: EffectPriors; threshold: number },
): EffectRow => {
  const few = told.tests < fewestTests ? { status: 'too-few-tests' as const } : {};
  const k = followedOutcomes.indexOf(row.outcome as Followed);
  const all = k < 0 ? 0 : (history.whole.weight[k] as number);
  if (!(all > 0) || !(row.sd > 0)) return { ...row, tests: told.tests, ...few };
  const prior = priors[row.outcome as Followed];
  const tonight = levelPosterior(rawMean(history, history.whole, k), 1 / all, prior);
  const weight = told.weight[k] as number;
  const then =
    weight > 0
      ? levelPosterior(rawMean(history, told, k), 1 / weight, prior)
      : levelPosterior(0, Number.POSITIVE_INFINITY, prior);
  const shift = ((row.effect - tonight.mean) * weight) / all;
  const ratio = Math.min(mostRatio, Math.max(leastRatio, row.sd / tonight.sd));
  const effect = then.mean + shift;
  const sd = then.sd * ratio;
  const least = row.outcome === 'value' ? 0 : threshold;
  return {
    ...row,
    tests: told.tests,
    effect,
    sd,
    low: effect - z975 * sd,
    high: effect + z975 * sd,
    chanceBeyond: then.parts.reduce(
      (sum, part) =>
        sum + part.share * normalCdf((Math.sign(effect) * (part.mean + shift) - least) / (part.sd * ratio)),
      0,
    ),
    ...few,
  };
};
