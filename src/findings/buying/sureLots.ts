import { mean, medianAbsoluteDeviation, sum } from 'simple-statistics';
import { benjaminiHochberg } from '../../tables/benjaminiHochberg.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { fewestTests } from './boughtTests.ts';
import { likeOthers, mostFalse } from './claimLevels.ts';
import type { ClaimKind } from './claims.ts';
import { asT, chanceAtMost } from './clusteredSd.ts';
import type { Judged } from './judgedTests.ts';

/** Fewest tests of a lot that is claimed by itself: two may be one mistake. */
const fewestOfLot = 3;
/** Half the 95 % width of a median over that of a mean, of normal values. */
const medianWidth = Math.sqrt(Math.PI / 2);

/** A lot of one item that by itself is surely above what is usual and above others, and the p-value adjusted for all lots. */
export type SureLot = { own: readonly Judged[]; adjusted: number };

/**
 * Lots surely above by themselves, whatever their supplier's other lots lose, by supplier; at a false discovery rate over all lots of 3
 * tests or more. `inStore` as in claimLevel: without it a lot is not claimed where the store is what it is set beside.
 */
export const sureLots = (
  judged: readonly Judged[],
  kind: ClaimKind,
  inStore: (one: Judged) => number,
): Map<string, SureLot[]> => {
  const lots = lotsOf(judged.filter(({ test }) => test.supplier !== '' && test.lot !== ''));
  const noise = withinLots(lots);
  const tested = lots.filter((own) => own.length >= fewestOfLot);
  const adjusted = benjaminiHochberg(tested.map((own) => chanceOf(own, kind, { noise, inStore })));
  const sure = tested.flatMap((own, i) =>
    (adjusted[i] as number) <= mostFalse ? [{ own, adjusted: adjusted[i] as number }] : [],
  );
  return groupedBy(sure, ({ own }) => own[0]?.test.supplier ?? '');
};

/** Tests by supplier, plant, lot and item. */
const lotsOf = (judged: readonly Judged[]): Judged[][] => [
  ...groupedBy(judged, ({ test }) =>
    [test.supplier, test.plant, test.lot, test.item].join('\u0000'),
  ).values(),
];

/** Variance of the tests of one lot, pooled over lots; deviations beyond three robust SDs count as three. */
const withinLots = (lots: readonly (readonly Judged[])[]): number => {
  const deviations = lots.flatMap((own) => {
    const center = mean(own.map(({ percent }) => percent));
    return own.length > 1 ? own.map(({ percent }) => percent - center) : [];
  });
  if (deviations.length === 0) return Number.NaN;
  const most = 3 * 1.4826 * medianAbsoluteDeviation(deviations);
  const bounded = most > 0 ? deviations.map((off) => Math.min(most, Math.abs(off))) : deviations;
  const freedom = sum(lots.map((own) => own.length - 1));
  return sum(bounded.map((off) => off ** 2)) / freedom;
};

/** P-value of a lot that is no further above the usual, and above others, than the margins: the largest of all. */
const chanceOf = (
  own: readonly Judged[],
  kind: ClaimKind,
  { noise, inStore }: { noise: number; inStore: (one: Judged) => number },
): number => {
  const above = (values: readonly number[], most: number, ofOthers = 0): number =>
    chanceAtMost(mean(values) - most, Math.sqrt(varianceOf(values, noise) + ofOthers));
  const alone = above(
    own.map(({ percent }) => percent),
    kind.usualPercent + kind.margin,
  );
  const { beside } = kind;
  if (alone > mostFalse || beside === undefined) return alone;
  const gapsTo = (others: (one: Judged) => number): number[] =>
    own.map((one) => one.percent - others(one)).filter(Number.isFinite);
  const toStore = gapsTo(inStore);
  const shares = [...groupedBy(own, ({ test }) => test.store).values()].map(
    (those) => those.length / own.length,
  );
  const ofMedians = ((medianWidth ** 2 * noise) / fewestTests) * sum(shares.map((share) => share ** 2));
  const store =
    toStore.length >= fewestOfLot
      ? above(toStore, beside.margin, ofMedians)
      : beside.what === 'same store'
        ? 1
        : 0;
  if (beside.what === 'same store') return Math.max(alone, store);
  const likeOf = likeOthers((own[0] as Judged).test.supplier);
  const toLike = gapsTo((one) => likeOf(one)?.center ?? Number.NaN);
  const like = toLike.length >= fewestOfLot ? above(toLike, beside.margin) : 0;
  return Math.max(alone, store, like);
};

/** Variance of a lot's mean: its tests vary as they do, and no less than tests of a lot do in general; widened as t limits are. */
const varianceOf = (values: readonly number[], noise: number): number => {
  const center = mean(values);
  const ownSpread = sum(values.map((value) => (value - center) ** 2)) / (values.length - 1);
  return (asT(values.length) ** 2 * Math.max(ownSpread, noise)) / values.length;
};
