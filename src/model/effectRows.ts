import { type Outcome, outcomes } from '../catalog/outcomes.ts';
import { normalCdf, z975 } from '../tables/normalDistribution.ts';
import type { EffectKind, EffectRow } from './modeled.ts';
import type { ShrunkenMeans } from './robust/shrunkenMeans.ts';

type Codes = { codes: Int32Array; levels: string[] };
type About = {
  codes: Codes;
  text: (name: string) => string[];
  weights: Float64Array;
  settings: { effectPoints: number };
  actual: readonly Float64Array[];
  expected: readonly Float64Array[];
  storeSd?: { sd: readonly Float64Array[]; codes: Codes };
};

const fewestTests = 3;
const rankFloor = 0.5;
const benchmarkReliability = 0.7;

/** Rows of the effects table for one kind: points (x 100) for yields, currency per kg for value; 95 % intervals. */
export const effectRows = (kind: EffectKind, means: ShrunkenMeans, about: About): EffectRow[] => {
  const { codes, levels } = about.codes;
  const members: number[][] = levels.map(() => []);
  for (const [i, code] of codes.entries()) (members[code] as number[]).push(i);
  const store = about.text('store');
  const item = about.text('item');
  const rows = levels.flatMap((level, g) => {
    const own = members[g] as number[];
    const first = own[0] as number;
    const name = level.split('\u0000')[0] as string;
    return outcomes.map((outcome, k) => ({
      ...estimate(outcome, k, g, { means, about, own }),
      kind,
      id: name,
      store: kind === 'supplier' ? '' : mostCommon(own.map((i) => store[i] as string)),
      item: kind.endsWith('-item') ? (item[first] as string) : '',
    }));
  });
  return ranked(rows);
};

const mostCommon = (names: readonly string[]): string => {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))[0]?.[0] ?? '';
};

const estimate = (
  outcome: Outcome,
  k: number,
  g: number,
  { means, about, own }: { means: ShrunkenMeans; about: About; own: number[] },
): EffectRow => {
  const scale = outcome === 'value' ? 1 : 100;
  const effect = scale * ((means.effect[k] as Float64Array)[g] as number);
  const reliability = means.reliability[g] as number;
  const sd =
    scale * Math.hypot((means.sd[k] as Float64Array)[g] as number, reliability * storeSdOf(about, k, own));
  const threshold = outcome === 'value' ? 0 : about.settings.effectPoints;
  const needed =
    (benchmarkReliability / (1 - benchmarkReliability)) *
    ((means.variance[k] as number) / (means.between[k] as number));
  const mean = (values: Float64Array): number =>
    own.reduce((sum, i) => sum + (values[i] as number), 0) / own.length;
  const isKnown = own.length >= fewestTests;
  return {
    kind: 'cutter',
    id: '',
    store: '',
    item: '',
    outcome,
    tests: own.length,
    testsNeeded: Number.isFinite(needed) ? Math.max(0, Math.ceil(needed) - own.length) : Number.NaN,
    rawMean: scale * mean(about.actual[k] as Float64Array),
    expectedMean: scale * mean(about.expected[k] as Float64Array),
    effect,
    sd,
    low: effect - z975 * sd,
    high: effect + z975 * sd,
    reliability,
    chanceBeyond: sd > 0 ? normalCdf((Math.abs(effect) - threshold) / sd) : 0,
    expectedRank: Number.NaN,
    rankLow: Number.NaN,
    rankHigh: Number.NaN,
    status: isKnown ? (means.between[k] === 0 ? 'singular' : 'ok') : 'too-few-tests',
  };
};

const storeSdOf = (about: About, k: number, own: readonly number[]): number => {
  if (about.storeSd === undefined) return 0;
  const { sd, codes } = about.storeSd;
  return (
    own.reduce((sum, i) => sum + ((sd[k] as Float64Array)[codes.codes[i] as number] as number), 0) /
    own.length
  );
};

/** Expected rank 1 + sum P(other better) within item and outcome (Laird & Louis 1989); 1 = highest; none below reliability 0.5. */
const ranked = (rows: EffectRow[]): EffectRow[] => {
  const peers = new Map<string, EffectRow[]>();
  const isRanked = (row: EffectRow): boolean =>
    row.status === 'ok' && row.reliability >= rankFloor && row.sd > 0;
  for (const row of rows.filter(isRanked))
    peers.set(`${row.item} ${row.outcome}`, [...(peers.get(`${row.item} ${row.outcome}`) ?? []), row]);
  return rows.map((row) => {
    if (!isRanked(row)) return row;
    let rank = 1;
    let variance = 0;
    for (const other of peers.get(`${row.item} ${row.outcome}`) as EffectRow[]) {
      if (other === row) continue;
      const chance = normalCdf((other.effect - row.effect) / Math.hypot(other.sd, row.sd));
      rank += chance;
      variance += chance * (1 - chance);
    }
    const reach = z975 * Math.sqrt(variance);
    return { ...row, expectedRank: rank, rankLow: Math.max(1, rank - reach), rankHigh: rank + reach };
  });
};
