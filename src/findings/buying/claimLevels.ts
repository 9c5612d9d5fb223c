import { mean } from 'simple-statistics';
import type { MeasuredTest } from '../../measure/measured.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { normalCdf, z975 } from '../../tables/normalDistribution.ts';
import { monthOf } from '../../units/calendarDay.ts';
import { stretchOf } from './bagLosses.ts';
import { fewestTests } from './boughtTests.ts';
import { type ClaimKind, lostPercent } from './claims.ts';

/** What a supplier's tests lose, % with half its 95 % interval, what like tests of others lose, and the chance of it by luck. */
export type ClaimLevel = {
  tests: readonly MeasuredTest[];
  center: number;
  reach: number;
  /** Mean of the other suppliers' tests of the same items, treatments and days since pack; NaN where not compared or not known. */
  others: number;
  /** One-sided p-value of being no further than the margin above what is usual and above the others, the larger of both. */
  pValue: number;
};

type Influence = { lot: string; size: number };

/**
 * Level of one supplier, undefined below 8 tests. Lots are what is drawn: tests of one lot err together (linearized, by lots;
 * Cochran 1977 ch. 9, from memory), limits widened as t limits are with few lots.
 */
export const claimLevel = (
  used: readonly MeasuredTest[],
  supplier: string,
  kind: ClaimKind,
): ClaimLevel | undefined => {
  const known = used.filter((test) => Number.isFinite(lostPercent(kind, test)));
  const tests = known.filter((test) => test.supplier === supplier);
  if (tests.length < fewestTests) return undefined;
  const values = tests.map((test) => lostPercent(kind, test));
  const center = mean(values);
  const sd = clusteredSd(
    tests.map((test, i) => ({ lot: lotOf(test), size: ((values[i] as number) - center) / tests.length })),
  );
  const aboveUsual = chanceAtMost(center - kind.usualPercent - (kind.margin ?? 0), sd);
  const level = { tests, center, reach: z975 * sd };
  if (kind.margin === undefined) return { ...level, others: Number.NaN, pValue: aboveUsual };
  const beside = besideOthers(tests, known, kind);
  return beside === undefined
    ? { ...level, others: Number.NaN, pValue: aboveUsual }
    : {
        ...level,
        others: beside.others,
        pValue: Math.max(aboveUsual, chanceAtMost(beside.gap - kind.margin, beside.sd)),
      };
};

/** The lot of a test, or the month where none is given. */
const lotOf = ({ supplier, plant, lot, cutDay }: MeasuredTest): string =>
  JSON.stringify(lot ? [supplier, plant, lot] : [supplier, monthOf(cutDay)]);

const chanceAtMost = (above: number, sd: number): number =>
  sd > 0 ? normalCdf(-above / sd) : above > 0 ? 0 : 1;

/** SD of a sum of influences that err together within a lot; of one lot alone its tests stand for themselves. */
const clusteredSd = (influences: readonly Influence[]): number => {
  const lots = groupedBy(influences, ({ lot }) => lot);
  const sums =
    lots.size > 1
      ? [...lots.values()].map((own) => own.reduce((sum, { size }) => sum + size, 0))
      : influences.map(({ size }) => size);
  const n = sums.length;
  const asT = 1 + (z975 ** 2 + 1) / (4 * (n - 1));
  return asT * Math.sqrt((n / (n - 1)) * sums.reduce((sum, size) => sum + size * size, 0));
};

/** How like pieces are compared, the closest first. */
const likeness: readonly ((test: MeasuredTest) => string)[] = [
  (test) => JSON.stringify([test.item, test.spec, test.treatment, stretchOf(test)]),
  (test) => JSON.stringify([test.item, test.spec, test.treatment]),
];

/** Mean gap to the other suppliers' like tests, each own test beside the closest 8; undefined where fewer than 8 have any. */
const besideOthers = (
  own: readonly MeasuredTest[],
  known: readonly MeasuredTest[],
  kind: ClaimKind,
): { gap: number; others: number; sd: number } | undefined => {
  const supplier = (own[0] as MeasuredTest).supplier;
  const foreign = known.filter((test) => test.supplier !== supplier && test.supplier !== '');
  const cells = likeness.map((keyOf) => groupedBy(foreign, keyOf));
  const pairs = own.flatMap((test) => {
    const like = likeness
      .map((keyOf, k) => cells[k]?.get(keyOf(test)) ?? [])
      .find((tests) => tests.length >= fewestTests);
    return like === undefined ? [] : [{ test, like }];
  });
  if (pairs.length < fewestTests) return undefined;
  const means = new Map<readonly MeasuredTest[], number>();
  for (const { like } of pairs)
    if (!means.has(like)) means.set(like, mean(like.map((test) => lostPercent(kind, test))));
  const meanOf = (like: readonly MeasuredTest[]): number => means.get(like) as number;
  const gaps = pairs.map(({ test, like }) => lostPercent(kind, test) - meanOf(like));
  const gap = mean(gaps);
  const ownPart = pairs.map(({ test }, i) => ({
    lot: lotOf(test),
    size: ((gaps[i] as number) - gap) / pairs.length,
  }));
  const othersPart = [...means.keys()].flatMap((like) => {
    const share = pairs.filter((pair) => pair.like === like).length / pairs.length / like.length;
    return like.map((test) => ({
      lot: lotOf(test),
      size: share * (lostPercent(kind, test) - meanOf(like)),
    }));
  });
  return {
    gap,
    others: mean(pairs.map(({ like }) => meanOf(like))),
    sd: Math.hypot(clusteredSd(ownPart), clusteredSd(othersPart)),
  };
};
