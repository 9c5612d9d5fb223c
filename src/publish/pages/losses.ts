import type { LossRow } from '../../findings/found.ts';
import { summedMoney } from '../../money/summedMoney.ts';
import { noVolume } from '../../money/volumeWeeks.ts';
import { groups } from './groups.ts';
import { type Dimension, isCrowd, namedSums } from './smallRooms.ts';

export type Loss = Pick<
  LossRow,
  | 'region'
  | 'store'
  | 'item'
  | 'habit'
  | 'moneyPerWeek'
  | 'low'
  | 'high'
  | 'tests'
  | 'errors'
  | 'went'
  | 'ofTestsSeen'
>;
/** A loss with the day since which its habit is clear, ISO; '' = not known; `isNew`: it is told tonight for the first time. */
export type DatedLoss = Loss & { since: string; isNew: boolean };
/** A loss as it comes, with what is known of its habit's time. */
export type TimedLoss = LossRow & { since?: string; isNew?: boolean };
export type MoneySum = { value: number; low: number; high: number; tests: number };
/** A sum over small rooms, with the number of stores in it. */
export type RoomsSum = MoneySum & { stores: number };
/** A sum over small rooms that share a region, an item or a habit, named by it. */
export type NamedSum = RoomsSum & { name: string };
/** Rows that may be shown, and the rest in sums that hide everybody in them. */
export type ShownLosses = {
  rows: DatedLoss[];
  /** All small rooms as one sum; undefined where that would not hide each. */
  together: RoomsSum | undefined;
  /** The same money told apart by one thing at a time, dearest first, where that gives nobody away. */
  apart: Record<Dimension, NamedSum[]>;
  withheld: number;
};

/**
 * What of the losses a page without people may show. Rows of small rooms are left out as rows. They appear as one sum for
 * the chain only where they are at least 3 stores and together at least `minimumGroup` cutters: then nobody can take away
 * one known store and be left with another. By region, item and habit they appear where no difference of any of these sums
 * is that of fewer (`smallRooms`). This holds for the figures of one night. Two nights can be set against each other: what a
 * single room's habit adds or takes away in between shows. To hide that, sums would have to wait until enough rooms changed,
 * by what was once published, and the same inputs would no longer give the same bytes; the method page says so.
 */
export const shownLosses = (losses: readonly TimedLoss[], minimumGroup: number): ShownLosses => {
  const hidden = losses.filter((row) => row.suppressed);
  return {
    rows: visibleLosses(losses),
    together: roomsTogether(losses, minimumGroup),
    apart: roomsApart(losses, minimumGroup),
    withheld: new Set(hidden.map((row) => row.store)).size,
  };
};

/** The rows of rooms that may be shown. */
export const visibleLosses = (losses: readonly TimedLoss[]): DatedLoss[] =>
  losses
    .filter((row) => !row.suppressed)
    .map(
      ({
        region,
        store,
        item,
        habit,
        moneyPerWeek,
        low,
        high,
        tests,
        errors,
        went,
        ofTestsSeen,
        ...time
      }) => ({
        region,
        store,
        item,
        habit,
        moneyPerWeek,
        low,
        high,
        tests,
        since: time.since ?? '',
        isNew: time.isNew ?? false,
        ...(errors === undefined ? {} : { errors }),
        ...(went === undefined ? {} : { went }),
        ...(ofTestsSeen === true ? { ofTestsSeen } : {}),
      }),
    );

/** `together` of the losses shown. */
export const roomsTogether = (losses: readonly LossRow[], minimumGroup: number): RoomsSum | undefined => {
  const hidden = losses.filter((row) => row.suppressed);
  return isCrowd(hidden, minimumGroup) ? roomsSum(hidden) : undefined;
};

/** `apart` of the losses shown; which sums may be named takes a while to tell where small rooms are many. */
export const roomsApart = (losses: readonly LossRow[], minimumGroup: number): ShownLosses['apart'] => {
  const hidden = losses.filter((row) => row.suppressed);
  const named = namedSums(hidden, minimumGroup);
  const by = (dimension: Dimension): NamedSum[] =>
    groups(
      hidden.filter((row) => named[dimension].has(row[dimension])),
      (row) => row[dimension],
    )
      .map(([name, own]) => ({ name, ...roomsSum(own) }))
      .sort((a, b) => b.value - a.value);
  return { region: by('region'), item: by('item'), habit: by('habit') };
};

const roomsSum = (rows: readonly LossRow[]): RoomsSum => ({
  ...moneySum(rows),
  stores: new Set(rows.map((row) => row.store)).size,
});

/** Over what time money runs, to stand behind an amount: a week only where the weekly volumes are known. */
export const moneySpan = (rows: readonly { ofTestsSeen?: boolean }[]): string => {
  const seen = rows.filter((row) => row.ofTestsSeen === true).length;
  if (seen === 0) return 'a week';
  return seen === rows.length
    ? 'in the tests seen'
    : `a week, or in the tests seen where there is ${noVolume}`;
};

/** Sum of losses with its interval, per week; a row without errors of its own sources errs by itself. */
export const moneySum = (
  rows: readonly Pick<Loss, 'moneyPerWeek' | 'low' | 'high' | 'tests' | 'errors'>[],
): MoneySum => {
  const { value, low, high } = summedMoney(
    rows.map(({ moneyPerWeek, low, high, errors }, i) => ({
      value: moneyPerWeek,
      errors: errors ?? [{ source: `row ${i}`, below: moneyPerWeek - low, above: high - moneyPerWeek }],
    })),
  );
  return { value, low, high, tests: rows.reduce((sum, row) => sum + row.tests, 0) };
};
