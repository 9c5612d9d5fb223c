import { mean, sum } from 'simple-statistics';
import type { Chain } from '../../catalog/chain.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { listWithinFalseShare } from '../fairness/bayesianFalseShare.ts';
import { fewestTests } from './boughtTests.ts';
import type { ClaimKind } from './claims.ts';
import { chanceAtMost, clusteredSd, type Influence } from './clusteredSd.ts';
import type { Judged } from './judgedTests.ts';

/** A store in which what is billed is surely more than what arrives, at all its suppliers together. */
export type LightStore = {
  store: string;
  own: readonly Judged[];
  suppliers: string[];
  /** How much is missing, % of billed, with half its 95 % interval, and at the same suppliers in other stores; NaN = not known. */
  center: number;
  reach: number;
  elsewhere: number;
  chance: number;
  /** Surely more than at the same suppliers elsewhere: it is this store's, and its tests say nothing of a supplier. */
  isApart: boolean;
};

const mostFalse = 0.1;

/**
 * Stores short at all their suppliers, a two-way comparison of store and supplier: what is short here, and how much more than the same
 * suppliers are short elsewhere. Suppliers and lots are what is drawn, the wider of both, so that one supplier who is short
 * does not make a store. Stores set apart no longer count elsewhere.
 */
export const lightStores = (judged: readonly Judged[], kind: ClaimKind, chain: Chain): LightStore[] => {
  const known = judged.filter(({ test }) => test.supplier !== '');
  const cells = cellsOf(known);
  const stores = [...groupedBy(known, ({ test }) => test.store)]
    .filter(([, own]) => own.length >= fewestTests)
    .map(([store, own]) => levelIn(store, own, kind));
  const light = sure(stores, ({ chance }) => chance, chain);
  const apart = new Set<string>();
  for (let before = -1; before < apart.size; ) {
    before = apart.size;
    const beside = light.map((one) => besideElsewhere(one, cells, apart));
    const chanceOf = (one: LightStore): number => {
      const gap = beside[light.indexOf(one)];
      return gap === undefined ? 0 : 1 - chanceAtMost(gap.center - kind.usualPercent, gap.sd);
    };
    for (const { store } of sure(light, chanceOf, chain)) apart.add(store);
  }
  return light.map((one) => ({
    ...one,
    isApart: apart.has(one.store),
    elsewhere: besideElsewhere(one, cells, apart)?.elsewhere ?? Number.NaN,
  }));
};

/** At the chain's chance, and at most one in ten of the list false in expectation. */
const sure = <Row>(rows: readonly Row[], chanceOf: (row: Row) => number, chain: Chain): Row[] => {
  const own = rows.filter((row) => chanceOf(row) >= chain.thresholds.chance);
  const { isListed } = listWithinFalseShare(own.map(chanceOf), mostFalse);
  return own.filter((_, i) => isListed[i]);
};

const levelIn = (store: string, own: readonly Judged[], kind: ClaimKind): LightStore => {
  const center = mean(own.map(({ percent }) => percent));
  const sd = sdOf(own, ({ percent }) => percent - center);
  return {
    store,
    own,
    suppliers: [...new Set(own.map(({ test }) => test.supplier))].sort(),
    center,
    reach: z975 * sd,
    elsewhere: Number.NaN,
    chance: 1 - chanceAtMost(center - kind.usualPercent, sd),
    isApart: false,
  };
};

/** SD of a mean: tests of a lot err together, and those of a supplier; the wider of both. */
const sdOf = (own: readonly Judged[], off: (one: Judged) => number): number => {
  const by = (cluster: (one: Judged) => unknown): number =>
    clusteredSd(own.map((one) => ({ cluster: cluster(one), size: off(one) / own.length })));
  const isOneSupplier = own.every(({ test }) => test.supplier === own[0]?.test.supplier);
  const byLot = by(({ lot }) => lot);
  return isOneSupplier
    ? byLot
    : Math.max(
        byLot,
        by(({ test }) => test.supplier),
      );
};

/** Tests of one supplier in one store, and how much they are short in all. */
type Cell = { store: string; tests: number; sum: number };

const cellsOf = (known: readonly Judged[]): Map<string, Cell[]> =>
  new Map(
    [...groupedBy(known, ({ test }) => test.supplier)].map(([supplier, own]) => [
      supplier,
      [...groupedBy(own, ({ test }) => test.store)].map(([store, those]) => ({
        store,
        tests: those.length,
        sum: sum(those.map(({ percent }) => percent)),
      })),
    ]),
  );

/** How much more is short in a store than at the same suppliers in others, these by store; undefined where fewer than 8 tests can be compared. */
const besideElsewhere = (
  { store, own }: LightStore,
  cells: ReadonlyMap<string, readonly Cell[]>,
  apart: ReadonlySet<string>,
): { center: number; elsewhere: number; sd: number } | undefined => {
  const bySupplier = groupedBy(own, ({ test }) => test.supplier);
  const compared = [...bySupplier].flatMap(([supplier, those]) => {
    const others = (cells.get(supplier) ?? []).filter(
      (cell) => cell.store !== store && !apart.has(cell.store),
    );
    const tests = sum(others.map((cell) => cell.tests));
    if (tests < fewestTests) return [];
    return [{ those, others, tests, level: sum(others.map((cell) => cell.sum)) / tests }];
  });
  const pairs = compared.flatMap(({ those, level }) => those.map((one) => ({ one, level })));
  if (pairs.length < fewestTests) return undefined;
  const center = mean(pairs.map(({ one, level }) => one.percent - level));
  const levels = new Map(pairs.map(({ one, level }) => [one, level]));
  const ownSd = sdOf(
    pairs.map(({ one }) => one),
    (one) => one.percent - (levels.get(one) ?? 0) - center,
  );
  const othersPart = compared.flatMap(({ those, others, tests, level }): Influence[] =>
    others.map((cell) => ({
      cluster: cell.store,
      size: ((those.length / pairs.length) * (cell.sum - cell.tests * level)) / tests,
    })),
  );
  const isOneStore = othersPart.every(({ cluster }) => cluster === othersPart[0]?.cluster);
  return {
    center,
    elsewhere: mean(pairs.map(({ level }) => level)),
    sd: Math.hypot(ownSd, isOneStore ? 0 : clusteredSd(othersPart)),
  };
};
