import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import type { PredictedOutcome, WeightModel } from '../../model/modeled.ts';
import { byFrequency } from '../../tables/byFrequency.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { normalCdf, z975 } from '../../tables/normalDistribution.ts';
import { dot, quadraticForm } from '../../tables/quadraticForm.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { kgPerLb, kilogramsPer } from '../../units/weight.ts';
import { chainNumbers } from '../chainNumbers.ts';
import type { FindingRow } from '../found.ts';
import { clearedBelow } from '../memory/toldUntil.ts';
import type { PortionReachRow } from '../merchandise/portionReach.ts';
import type { weeklyShares } from '../weeklyShares.ts';
import { type FindingFacts, noMoney, writtenFinding } from '../writtenFinding.ts';
import { type PieceTrend, pieceTrend } from './pieceTrend.ts';

export type HeavierTrendInput = {
  chain: Chain;
  asOfDay: number;
  used: readonly MeasuredTest[];
  weightModels: readonly WeightModel[];
  reach: readonly PortionReachRow[];
  shares: ReturnType<typeof weeklyShares>;
  /** Day on which a test was first known to the chain. */
  seenDayOf: (test: MeasuredTest) => number;
};

/** Per cent a year below which a trend is not told (common practice, no source). */
const leastPerYear = 0.02;
const lookBackDays = 730;
/** Season and trend cannot both be told from less. */
const seasonDays = 548;

/**
 * Items whose pieces get heavier, one finding an item for the buyer: how much a year within store, supplier and grade, what
 * the heavier piece yields by the model's weight curve, and what a steak cut to the thickness of the spec then weighs.
 */
export const heavierTrend = (input: HeavierTrendInput): FindingRow[] => {
  const { used, asOfDay } = input;
  const recent = used.filter((test) => test.cutDay > asOfDay - lookBackDays && test.cutDay <= asOfDay);
  const byPiece = groupedBy(recent, (test) => [test.item, test.spec, test.treatment].join('\u0000'));
  const mostTested = new Map<string, MeasuredTest[]>();
  for (const key of [...byPiece.keys()].sort()) {
    const own = byPiece.get(key) as MeasuredTest[];
    const item = (own[0] as MeasuredTest).item;
    if (own.length > (mostTested.get(item)?.length ?? 0)) mostTested.set(item, own);
  }
  return [...mostTested.values()].flatMap((tests) => told(tests, input));
};

const chanceOf = ({ perYear, sd }: PieceTrend): number => normalCdf((perYear - leastPerYear) / sd);

const told = (tests: readonly MeasuredTest[], input: HeavierTrendInput): FindingRow[] => {
  const { chain, asOfDay, seenDayOf } = input;
  const trend = pieceTrend(tests);
  const past = pieceTrend(tests.filter((test) => seenDayOf(test) < asOfDay));
  const wasTold = past !== undefined && chanceOf(past) >= chain.thresholds.chance;
  const raisedFrom = wasTold ? clearedBelow : chain.thresholds.chance;
  if (trend === undefined || chanceOf(trend) < raisedFrom) return [];
  const first = tests[0] as MeasuredTest;
  const season =
    trend.lastDay - trend.firstDay < seasonDays ? ['not for the season: less than 18 months of tests'] : [];
  const heaviest = [...tests]
    .filter((test) => test.cutDay > trend.lastDay - 91)
    .sort((a, b) => b.meanPieceKg - a.meanPieceKg || (a.testId < b.testId ? -1 : 1));
  return [
    writtenFinding(
      {
        kind: 'heavier-trend',
        store: '',
        region: '',
        cutter: '',
        item: first.item,
        outcome: 'piece_weight',
        status: wasTold ? 'continuing' : 'new',
        since: isoFromDay(trend.firstDay),
        effect: 100 * trend.perYear,
        low: 100 * (trend.perYear - z975 * trend.sd),
        high: 100 * (trend.perYear + z975 * trend.sd),
        chance: chanceOf(trend),
        tests: trend.tests,
        comparedWith: `the same store, supplier and grade before, ${trend.stores} stores`,
        money: moneyOf(tests, trend, input),
        ...textsOf(tests, trend, input),
        evidence: heaviest,
        adjustments: ['store', 'supplier', 'grade', ...season],
      },
      chain,
    ),
  ];
};

type Change = { size: number; sd: number };

/** What the weight curve says of a piece at the end of the trend against one at its beginning; undefined without a curve. */
const changeOf = (
  outcome: PredictedOutcome,
  tests: readonly MeasuredTest[],
  { trend, weightModels }: { trend: PieceTrend; weightModels: readonly WeightModel[] },
): Change | undefined => {
  const { item, spec, treatment } = tests[0] as MeasuredTest;
  const model = weightModels.find(
    (one) => one.item === item && one.spec === spec && one.treatment === treatment,
  );
  const fitted = model?.outcomes[outcome];
  const grade = model === undefined ? undefined : mostCut(tests, model.grades);
  if (model === undefined || fitted === undefined || grade === undefined) return undefined;
  const within = (kg: number): number => Math.min(model.highKg, Math.max(model.lowKg, kg));
  const from = model.row(grade, within(trend.fromKg));
  const gap = model.row(grade, within(trend.toKg)).map((value, k) => value - (from[k] as number));
  const variance = quadraticForm(gap, fitted.covariance, gap);
  return { size: dot(gap, fitted.coefficients), sd: Math.sqrt(Math.max(0, variance)) };
};

const mostCut = (tests: readonly MeasuredTest[], grades: readonly string[]): string | undefined =>
  byFrequency(tests.map((test) => test.grade).filter((grade) => grades.includes(grade)))[0];

/** What the heavier pieces lose in a week at the regular list, by the weight curve; none where they lose nothing or no volume is known. */
const moneyOf = (
  tests: readonly MeasuredTest[],
  trend: PieceTrend,
  { weightModels, shares }: HeavierTrendInput,
): FindingFacts['money'] => {
  const change = changeOf('value', tests, { trend, weightModels });
  const { item } = tests[0] as MeasuredTest;
  const kg = [...shares.stores].reduce(
    (sum, [key, share]) =>
      key.endsWith(`\u0000${item}`) && share.kgPerWeek > 0 ? sum + share.kgPerWeek : sum,
    0,
  );
  if (change === undefined || !(change.size < 0) || kg === 0) return noMoney;
  return {
    perWeek: -change.size * kg,
    low: (-change.size - z975 * change.sd) * kg,
    high: (-change.size + z975 * change.sd) * kg,
    isWeekly: true,
  };
};

/** Its size in words, and what a piece at the end of the trend does against one at its beginning. */
const textsOf = (
  tests: readonly MeasuredTest[],
  trend: PieceTrend,
  { chain, weightModels, reach }: HeavierTrendInput,
): { size: string; seen: string } => {
  const { points: number } = chainNumbers(chain);
  const unitKg = kilogramsPer(chain.unit);
  const weight = (kg: number): string => number.format(kg / unitKg);
  const saleable = changeOf('saleable', tests, { trend, weightModels });
  const steak = steakOf(tests[0] as MeasuredTest, trend, reach);
  const portion = (kg: number): string =>
    chain.unit === 'lb' ? `${number.format((kg / kgPerLb) * 16)} oz` : `${number.format(1000 * kg)} g`;
  const seen = [
    `from ${weight(trend.fromKg)} to ${weight(trend.toKg)} ${chain.unit}`,
    saleable === undefined
      ? ''
      : `saleable ${saleable.size < 0 ? 'lower' : 'higher'} by ${number.format(Math.abs(100 * saleable.size))} points at that weight`,
    steak === undefined
      ? ''
      : `${steak.output} cut to ${steak.thicknessIn} in ${portion(steak.gainKg)} heavier`,
  ]
    .filter((text) => text !== '')
    .join('; ');
  return { size: `${number.format(100 * trend.perYear)} % a year`, seen };
};

/** A twentieth of an ounce: less would be told as 0.0. */
const leastGainKg = 0.0015;

/** By how much a portion at the thickness of the spec gets heavier with the piece, from ranges that were sliced and measured. */
const steakOf = (
  { item, spec }: MeasuredTest,
  trend: PieceTrend,
  reach: readonly PortionReachRow[],
): { output: string; thicknessIn: number; gainKg: number } | undefined => {
  const known = reach.filter((row) => row.item === item && row.spec === spec && row.weightAtThicknessKg > 0);
  const [one, other] = [known[0], known.find((row) => row.output === known[0]?.output && row !== known[0])];
  if (one === undefined || other === undefined || one.pieceKg === other.pieceKg) return undefined;
  const perKg = (other.weightAtThicknessKg - one.weightAtThicknessKg) / (other.pieceKg - one.pieceKg);
  const gainKg = perKg * (trend.toKg - trend.fromKg);
  return gainKg >= leastGainKg ? { output: one.output, thicknessIn: one.thicknessIn, gainKg } : undefined;
};
