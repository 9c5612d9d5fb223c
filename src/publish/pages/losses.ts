import type { LossRow } from '../../findings/found.ts';

export type Loss = Pick<
  LossRow,
  'region' | 'store' | 'item' | 'habit' | 'moneyPerWeek' | 'low' | 'high' | 'tests' | 'ofTestsSeen'
>;
/** A loss with the day its habit was first seen, ISO; '' = not known. */
export type DatedLoss = Loss & { since: string };
export type MoneySum = { value: number; low: number; high: number; tests: number };
/** Rows that may be shown, and the rest as one sum where that sum hides everybody in it. */
export type ShownLosses = {
  rows: DatedLoss[];
  together: (MoneySum & { stores: number }) | undefined;
  withheld: number;
};

const fewestStores = 3;

/**
 * What of the losses a page without people may show. Rows of small rooms are left out of every figure, totals included, so
 * that no two figures differ by a small room. They appear as one sum for the chain only where they are at least 3 stores
 * and together at least `minimumGroup` cutters: then nobody can take away one known store and be left with another.
 */
export const shownLosses = (
  losses: readonly (LossRow & { since?: string })[],
  minimumGroup: number,
): ShownLosses => {
  const rows = losses.filter((row) => !row.suppressed);
  const hidden = losses.filter((row) => row.suppressed);
  const rooms = new Map(hidden.map((row) => [row.store, row.cutters]));
  const people = [...rooms.values()].reduce((sum, cutters) => sum + cutters, 0);
  const isSafe = rooms.size >= fewestStores && people >= minimumGroup;
  return {
    rows: rows.map(({ region, store, item, habit, moneyPerWeek, low, high, tests, since, ofTestsSeen }) => ({
      region,
      store,
      item,
      habit,
      moneyPerWeek,
      low,
      high,
      tests,
      since: since ?? '',
      ...(ofTestsSeen === true ? { ofTestsSeen } : {}),
    })),
    together: isSafe ? { ...moneySum(hidden), stores: rooms.size } : undefined,
    withheld: rooms.size,
  };
};

/** Over what time money runs, to stand behind an amount: a week only where the weekly volumes are known. */
export const moneySpan = (rows: readonly { ofTestsSeen?: boolean }[]): string => {
  const seen = rows.filter((row) => row.ofTestsSeen === true).length;
  if (seen === 0) return 'a week';
  return seen === rows.length ? 'in the tests seen' : 'a week, or in the tests seen where no volume is known';
};

/**
 * Sum of losses with its interval, per week. Half-widths are added in quadrature: habits are estimated apart, so their
 * errors are taken as independent (the shared part, what an average cutter yields, is small beside them).
 */
export const moneySum = (
  rows: readonly Pick<Loss, 'moneyPerWeek' | 'low' | 'high' | 'tests'>[],
): MoneySum => {
  let [value, below, above, tests] = [0, 0, 0, 0];
  for (const row of rows) {
    value += row.moneyPerWeek;
    below += (row.moneyPerWeek - row.low) ** 2;
    above += (row.high - row.moneyPerWeek) ** 2;
    tests += row.tests;
  }
  return { value, low: value - Math.sqrt(below), high: value + Math.sqrt(above), tests };
};
