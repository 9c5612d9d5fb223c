import type { Chain } from '../catalog/chain.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import type { EffectRow } from '../model/modeled.ts';
import type { ReferenceTables } from '../normalize/normalized.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { chainNumbers } from './chainNumbers.ts';
import type { OwedRow } from './found.ts';
import type { weeklyShares } from './weeklyShares.ts';

const owedOverDays = 28;
const farthestNeed = 10;

export type OwedInput = {
  chain: Chain;
  asOfDay: number;
  used: readonly MeasuredTest[];
  effects: readonly EffectRow[];
  reference: Pick<ReferenceTables, 'stores'>;
  shares: ReturnType<typeof weeklyShares>;
};

/**
 * Tests owed: what stores are behind their own plan, then the cutters and items that a few tests would settle, the most
 * settled by one test first: how much a week is in doubt x how open it is whether there is a habit.
 */
export const testsOwed = (input: OwedInput): OwedRow[] => [...ofStores(input), ...ofCutters(input)];

const dueDay = ({ chain, asOfDay }: OwedInput): string =>
  isoFromDay(asOfDay + chain.freshness.expect_every_days * 4);

const ofStores = (input: OwedInput): OwedRow[] => {
  const done = new Map<string, number>();
  for (const test of input.used)
    if (test.cutDay > input.asOfDay - owedOverDays) done.set(test.store, (done.get(test.store) ?? 0) + 1);
  return input.reference.stores.flatMap(({ store, testsOwedPerWeek }): OwedRow[] => {
    const owed = Math.ceil((testsOwedPerWeek * owedOverDays) / 7 - (done.get(store) ?? 0));
    const why = `behind the plan of the last ${owedOverDays} days`;
    return owed > 0
      ? [{ store, item: '', cutter: '', tests: owed, by: dueDay(input), why, inDoubt: Number.NaN }]
      : [];
  });
};

const ofCutters = (input: OwedInput): OwedRow[] => {
  const valueRows = new Map(
    input.effects.flatMap((row): [string, EffectRow][] =>
      row.kind === 'cutter-item' && row.outcome === 'value' ? [[`${row.id}\u0000${row.item}`, row]] : [],
    ),
  );
  const { cash } = chainNumbers(input.chain);
  return input.effects
    .filter(
      (row) =>
        row.kind === 'cutter-item' &&
        row.outcome === 'main_cut' &&
        row.testsNeeded > 0 &&
        row.testsNeeded <= farthestNeed,
    )
    .map((row) => {
      const key = `${row.id}\u0000${row.item}`;
      const kg = (input.shares.cutters.get(key) ?? []).reduce(
        (sum, share) => sum + (share.kgPerWeek > 0 ? share.kgPerWeek : 0),
        0,
      );
      const inDoubt = (valueRows.get(key)?.sd ?? Number.NaN) * kg;
      return { row, inDoubt, settled: (doubt(row.chanceBeyond) * inDoubt) / row.testsNeeded };
    })
    .sort(
      (a, b) =>
        known(b.settled) - known(a.settled) ||
        a.row.testsNeeded - b.row.testsNeeded ||
        (a.row.id < b.row.id ? -1 : 1),
    )
    .map(({ row, inDoubt }) => ({
      store: row.store,
      item: row.item,
      cutter: row.id,
      tests: row.testsNeeded,
      by: dueDay(input),
      why: `to compare fairly (reliability 0.7)${inDoubt > 0 ? `; ${cash.format(inDoubt)} a week either way is in doubt` : ''}`,
      inDoubt,
    }));
};

/** How open a chance is: 1 at even odds, 0 when sure. */
const doubt = (chance: number): number => 4 * chance * (1 - chance);
const known = (value: number): number => (Number.isNaN(value) ? -1 : value);
