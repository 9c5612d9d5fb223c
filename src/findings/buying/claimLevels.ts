import { mean } from 'simple-statistics';
import type { MeasuredTest } from '../../measure/measured.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { remembered } from '../../tables/remembered.ts';
import { fewestTests } from './boughtTests.ts';
import type { ClaimKind } from './claims.ts';
import { chanceAtMost, clusteredSd } from './clusteredSd.ts';
import type { Judged } from './judgedTests.ts';

/** At most one in twenty claims of a kind is to be one on a supplier, or a lot, like the others. */
export const mostFalse = 0.05;

/** What a supplier's tests lose, % with half its 95 % interval, what others lose, and the chance of it by luck. */
export type ClaimLevel = {
  tests: readonly MeasuredTest[];
  center: number;
  reach: number;
  /** Mean of the other suppliers' tests that it is set beside; NaN where not compared or not known. */
  others: number;
  /** One-sided p-value of being no further than the margin above what is usual and above the others, the larger of both. */
  pValue: number;
};

/** Mean gap to what others' tests lose, their mean, and the SD of the gap. */
type Gap = { gap: number; others: number; sd: number };

/**
 * Level of one supplier, undefined below 8 tests; lots are what is drawn: tests of one lot err together. `inStore` tells what
 * others lose beside a test in its store; where that is known of fewer than 8 tests, supplier and scale cannot be told apart.
 */
export const claimLevel = (
  own: readonly Judged[],
  kind: ClaimKind,
  inStore: (one: Judged) => number,
): ClaimLevel | undefined => {
  if (own.length < fewestTests) return undefined;
  const center = mean(own.map(({ percent }) => percent));
  const sd = clusteredSd(pulls(own, ({ percent }) => percent - center, lotOf));
  const aboveUsual = chanceAtMost(center - kind.usualPercent - kind.margin, sd);
  const level = { tests: own.map(({ test }) => test), center, reach: z975 * sd };
  const alone = { ...level, others: Number.NaN, pValue: aboveUsual };
  // who is not above the usual need not be set beside others: nothing is claimed
  if (kind.beside === undefined || aboveUsual > mostFalse) return alone;
  const isByStore = kind.beside.what === 'same store';
  const beside = isByStore ? besideTheStore(own, inStore) : besideLike(own);
  if (beside === undefined) return { ...alone, pValue: isByStore ? 1 : aboveUsual };
  const aboveOthers = chanceAtMost(beside.gap - kind.beside.margin, beside.sd);
  return { ...level, others: beside.others, pValue: Math.max(aboveUsual, aboveOthers) };
};

/** Level of lots that are claimed by themselves, all together. */
export const levelOfLots = (lots: readonly { own: readonly Judged[]; adjusted: number }[]): ClaimLevel => {
  const own = lots.flatMap((lot) => lot.own);
  const center = mean(own.map(({ percent }) => percent));
  return {
    tests: own.map(({ test }) => test),
    center,
    reach: z975 * clusteredSd(pulls(own, ({ percent }) => percent - center, lotOf)),
    others: Number.NaN,
    pValue: Math.max(...lots.map(({ adjusted }) => adjusted)),
  };
};

const lotOf = ({ lot }: Judged): unknown => lot;

/** How far each member pulls the mean of all. */
const pulls = <Member>(
  own: readonly Member[],
  off: (one: Member) => number,
  cluster: (one: Member) => unknown,
): { cluster: unknown; size: number }[] =>
  own.map((one) => ({ cluster: cluster(one), size: off(one) / own.length }));

/**
 * Mean gap to what others lose in the same store: lots are what is drawn, and stores, as gaps in one store share what they are
 * set beside; the wider of both.
 */
const besideTheStore = (own: readonly Judged[], inStore: (one: Judged) => number): Gap | undefined => {
  const pairs = own.flatMap((one) => {
    const others = inStore(one);
    return Number.isNaN(others) ? [] : [{ one, others, gap: one.percent - others }];
  });
  if (pairs.length < fewestTests) return undefined;
  const gap = mean(pairs.map((pair) => pair.gap));
  const sdBy = (cluster: (one: Judged) => unknown): number =>
    clusteredSd(
      pulls(
        pairs,
        (pair) => pair.gap - gap,
        ({ one }) => cluster(one),
      ),
    );
  return {
    gap,
    others: mean(pairs.map(({ others }) => others)),
    sd: Math.max(
      sdBy(lotOf),
      sdBy(({ test }) => test.store),
    ),
  };
};

/** Like tests of the other suppliers, and what they lose on average, %. */
type Others = { tests: readonly Judged[]; center: number };

/** The closest like tests of other suppliers by test, at least 8 of them; undefined where there are fewer. */
export const likeOthers = (supplier: string): ((one: Judged) => Others | undefined) => {
  const known = new Map<readonly Judged[], Others>();
  const othersOf = (cell: readonly Judged[]): Others =>
    remembered(known, cell, () => {
      const tests = cell.filter(({ test }) => test.supplier !== supplier && test.supplier !== '');
      return { tests, center: tests.length === 0 ? Number.NaN : mean(tests.map(({ percent }) => percent)) };
    });
  return ({ like }) => like.map(othersOf).find(({ tests }) => tests.length >= fewestTests);
};

/** Mean gap to the other suppliers' like tests; undefined where fewer than 8 tests have any. */
const besideLike = (own: readonly Judged[]): Gap | undefined => {
  const othersOf = likeOthers((own[0] as Judged).test.supplier);
  const pairs = own.flatMap((one) => {
    const others = othersOf(one);
    return others === undefined ? [] : [{ lot: one.lot, others, gap: one.percent - others.center }];
  });
  if (pairs.length < fewestTests) return undefined;
  const gap = mean(pairs.map((pair) => pair.gap));
  const ownPart = pulls(
    pairs,
    (pair) => pair.gap - gap,
    ({ lot }) => lot,
  );
  const othersPart = [...groupedBy(pairs, ({ others }) => others)].flatMap(([{ tests, center }, those]) => {
    const share = those.length / pairs.length / tests.length;
    return tests.map(({ lot, percent }) => ({ cluster: lot, size: share * (percent - center) }));
  });
  return {
    gap,
    others: mean(pairs.map(({ others }) => others.center)),
    sd: Math.hypot(clusteredSd(ownPart), clusteredSd(othersPart)),
  };
};
