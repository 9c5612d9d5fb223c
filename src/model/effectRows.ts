import { type Outcome, outcomes } from '../catalog/outcomes.ts';
import { normalCdf } from '../tables/normalDistribution.ts';
import { type ClassPrices, closeEffects } from './closeEffects.ts';
import { expectedRanks } from './fair/expectedRanks.ts';
import { testsNeeded } from './fair/testsNeeded.ts';
import type { LevelEstimate } from './levelEstimates.ts';
import type { EffectKind, EffectRow, FitStatus } from './modeled.ts';
import { mixtureQuantile } from './robust/mixtureQuantile.ts';

/** Everything one kind of effect rows is made of. estimates[k][g] by outcome and level, points (value: currency per kg x 100). */
export type EffectSource = {
  kind: EffectKind;
  codes: Int32Array;
  /** Name, store and item of each level. */
  names: readonly { id: string; store: string; item: string }[];
  estimates: readonly (readonly LevelEstimate[])[];
  actual: readonly Float64Array[];
  expected: readonly Float64Array[];
  isSoldWhole: (item: string) => boolean;
  pricesOf: (item: string) => ClassPrices;
  effectPoints: number;
  status: (item: string, outcome: Outcome) => FitStatus;
};

const fewestTests = 3;
/** Of fewer ids than this a spread found to be none may as well be large: it says nothing about any of them. */
const fewestIds = 5;
const noSpread = 0.05;
const rankFloor = 0.5;
const benchmarkReliability = 0.7;

/** Rows of the effects table for one kind: points for yields, currency per kg for value; 95 % intervals of the posterior. */
export const effectRows = (source: EffectSource): EffectRow[] => {
  const levels = source.names.length;
  const counts = new Float64Array(levels);
  for (const code of source.codes) if (code >= 0) counts[code] = (counts[code] as number) + 1;
  const means = (values: readonly Float64Array[]): Float64Array[] =>
    values.map((column) => {
      const sums = new Float64Array(levels);
      for (const [i, code] of source.codes.entries())
        if (code >= 0) sums[code] = (sums[code] as number) + (column[i] as number);
      return sums.map((sum, g) => sum / (counts[g] as number));
    });
  const [actual, expected] = [means(source.actual), means(source.expected)];
  const ids = new Set(source.names.map(({ id }) => id)).size;
  const rows = source.names.flatMap((name, g) => {
    const own = closeEffects(
      source.estimates.map((byLevel) => byLevel[g] as LevelEstimate),
      { isSoldWhole: source.isSoldWhole(name.item), prices: source.pricesOf(name.item) },
    );
    return outcomes.map((outcome, k) =>
      effectRow(outcome, own[k] as LevelEstimate, {
        ...name,
        kind: source.kind,
        tests: counts[g] as number,
        ids,
        rawMean: (actual[k] as Float64Array)[g] as number,
        expectedMean: (expected[k] as Float64Array)[g] as number,
        threshold: outcome === 'value' ? 0 : source.effectPoints,
        fitStatus: source.status(name.item, outcome),
      }),
    );
  });
  return ranked(rows);
};

type About = {
  kind: EffectKind;
  id: string;
  store: string;
  item: string;
  tests: number;
  /** How many ids of the kind are compared. */
  ids: number;
  rawMean: number;
  expectedMean: number;
  threshold: number;
  fitStatus: FitStatus;
};

const statusOf = ({ reliability, mean, sd }: LevelEstimate, { tests, ids, fitStatus }: About): FitStatus => {
  if (tests < fewestTests) return 'too-few-tests';
  // one that stands out of few that are alike is told
  const isAlike = reliability < noSpread && Math.abs(mean) < 2 * sd;
  return fitStatus === 'ok' && ids < fewestIds && isAlike ? 'singular' : fitStatus;
};

const effectRow = (outcome: Outcome, own: LevelEstimate, about: About): EffectRow => {
  const size = outcome === 'value' ? 0.01 : 1;
  const { fitStatus, threshold, ids, ...names } = about;
  const sign = Math.sign(own.mean);
  return {
    ...names,
    outcome,
    testsNeeded: testsNeeded(benchmarkReliability, { ...own, variance: (own.parts[0]?.sd ?? 0) ** 2 }),
    testSd: size * Math.sqrt(own.within),
    rawMean: 100 * size * about.rawMean,
    expectedMean: 100 * size * about.expectedMean,
    effect: size * own.mean,
    sd: size * own.sd,
    low: size * mixtureQuantile(own.parts, 0.025),
    high: size * mixtureQuantile(own.parts, 0.975),
    reliability: own.reliability,
    chanceBeyond: own.parts.reduce(
      (sum, part) =>
        sum + (part.sd > 0 ? part.share * normalCdf((sign * part.mean - threshold) / part.sd) : 0),
      0,
    ),
    expectedRank: Number.NaN,
    rankLow: Number.NaN,
    rankHigh: Number.NaN,
    status: statusOf(own, about),
    difference: size * own.difference,
    differenceSd: size * own.differenceSd,
  };
};

/** Expected ranks with intervals within item and outcome, 1 = highest; none below reliability 0.5. */
const ranked = (rows: EffectRow[]): EffectRow[] => {
  const peers = new Map<string, EffectRow[]>();
  const isRanked = (row: EffectRow): boolean =>
    row.status === 'ok' && row.reliability >= rankFloor && row.sd > 0;
  for (const row of rows) {
    if (!isRanked(row)) continue;
    const key = `${row.item} ${row.outcome}`;
    const own = peers.get(key) ?? [];
    own.push(row);
    peers.set(key, own);
  }
  const places = new Map<EffectRow, Pick<EffectRow, 'expectedRank' | 'rankLow' | 'rankHigh'>>();
  for (const own of peers.values()) {
    const { rank, low, high } = expectedRanks(
      own.map((row) => row.effect),
      own.map((row) => row.sd),
    );
    for (const [i, row] of own.entries())
      places.set(row, {
        expectedRank: rank[i] as number,
        rankLow: low[i] as number,
        rankHigh: high[i] as number,
      });
  }
  return rows.map((row) => ({ ...row, ...places.get(row) }));
};
