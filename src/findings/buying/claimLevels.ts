import { mean } from 'simple-statistics';
import type { MeasuredTest } from '../../measure/measured.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { normalCdf, z975 } from '../../tables/normalDistribution.ts';
import { remembered } from '../../tables/remembered.ts';
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

type Influence = { lot: number; size: number };

/** A test as a claim sees it: what it lost, %, a number for its lot, and the tests it is like, the closest first. */
type Judged = { test: MeasuredTest; percent: number; lot: number; like: readonly (readonly Judged[])[] };

/** Tests that tell what a claim of a kind is about, by supplier. */
export const judgedTests = (used: readonly MeasuredTest[], kind: ClaimKind): Map<string, Judged[]> => {
  const lots = new Map<string, number>();
  const cells = likeness.map(() => new Map<string, Judged[]>());
  const judged = used.flatMap((test): Judged[] => {
    const percent = lostPercent(kind, test);
    if (!Number.isFinite(percent)) return [];
    const like = likeness.map((keyOf, k) =>
      remembered(cells[k] as (typeof cells)[number], keyOf(test), () => []),
    );
    const one = { test, percent, lot: remembered(lots, lotOf(test), () => lots.size), like };
    for (const cell of like) cell.push(one);
    return [one];
  });
  return groupedBy(judged, ({ test }) => test.supplier);
};

/**
 * Level of one supplier, undefined below 8 tests. Lots are what is drawn: tests of one lot err together (linearized, by lots;
 * Cochran 1977 ch. 9, from memory), limits widened as t limits are with few lots.
 */
export const claimLevel = (own: readonly Judged[], kind: ClaimKind): ClaimLevel | undefined => {
  if (own.length < fewestTests) return undefined;
  const center = mean(own.map(({ percent }) => percent));
  const sd = clusteredSd(own.map(({ lot, percent }) => ({ lot, size: (percent - center) / own.length })));
  const aboveUsual = chanceAtMost(center - kind.usualPercent - (kind.margin ?? 0), sd);
  const level = { tests: own.map(({ test }) => test), center, reach: z975 * sd };
  if (kind.margin === undefined) return { ...level, others: Number.NaN, pValue: aboveUsual };
  const beside = besideOthers(own);
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
  const lots = new Map<number, number>();
  for (const { lot, size } of influences) lots.set(lot, (lots.get(lot) ?? 0) + size);
  const sums = lots.size > 1 ? [...lots.values()] : influences.map(({ size }) => size);
  const n = sums.length;
  const asT = 1 + (z975 ** 2 + 1) / (4 * (n - 1));
  return asT * Math.sqrt((n / (n - 1)) * sums.reduce((sum, size) => sum + size * size, 0));
};

/** How like pieces are compared, the closest first. */
const likeness: readonly ((test: MeasuredTest) => string)[] = [
  (test) => JSON.stringify([test.item, test.spec, test.treatment, stretchOf(test)]),
  (test) => JSON.stringify([test.item, test.spec, test.treatment]),
];

/** Like tests of the other suppliers, and what they lose on average, %. */
type Others = { tests: readonly Judged[]; center: number };

/** Mean gap to the other suppliers' like tests, each own test beside the closest 8; undefined where fewer than 8 have any. */
const besideOthers = (own: readonly Judged[]): { gap: number; others: number; sd: number } | undefined => {
  const supplier = (own[0] as Judged).test.supplier;
  const known = new Map<readonly Judged[], Others>();
  const othersOf = (cell: readonly Judged[]): Others =>
    remembered(known, cell, () => {
      const tests = cell.filter(({ test }) => test.supplier !== supplier && test.supplier !== '');
      return { tests, center: tests.length === 0 ? Number.NaN : mean(tests.map(({ percent }) => percent)) };
    });
  const pairs = own.flatMap(({ lot, percent, like }) => {
    const others = like.map(othersOf).find(({ tests }) => tests.length >= fewestTests);
    return others === undefined ? [] : [{ lot, others, gap: percent - others.center }];
  });
  if (pairs.length < fewestTests) return undefined;
  const gap = mean(pairs.map((pair) => pair.gap));
  const ownPart = pairs.map((pair) => ({ lot: pair.lot, size: (pair.gap - gap) / pairs.length }));
  const othersPart = [...groupedBy(pairs, ({ others }) => others)].flatMap(([{ tests, center }, those]) => {
    const share = those.length / pairs.length / tests.length;
    return tests.map(({ lot, percent }) => ({ lot, size: share * (percent - center) }));
  });
  return {
    gap,
    others: mean(pairs.map(({ others }) => others.center)),
    sd: Math.hypot(clusteredSd(ownPart), clusteredSd(othersPart)),
  };
};
