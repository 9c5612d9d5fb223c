import type { Chain } from '../catalog/chain.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import type { EffectRow } from '../model/modeled.ts';
import type { ReferenceTables } from '../normalize/normalized.ts';
import { normalCdf, normalDensity, normalQuantile } from '../tables/normalDistribution.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { chainNumbers } from './chainNumbers.ts';
import type { OwedRow } from './found.ts';
import type { weeklyShares } from './weeklyShares.ts';

const owedOverDays = 28;
/** Most tests asked of one cutter on one item. */
const farthestNeed = 20;
/** A loss less likely than this is let be, as one beyond the chain's chance is told; between the two it is open. */
const letBe = 0.25;
/** The tests asked for are as likely as not to tell whether there is a loss. */
const likelyToSettle = 0.5;

export type OwedInput = {
  chain: Chain;
  asOfDay: number;
  used: readonly MeasuredTest[];
  effects: readonly EffectRow[];
  reference: Pick<ReferenceTables, 'stores'>;
  shares: ReturnType<typeof weeklyShares>;
};

/**
 * Tests owed: what stores are behind their own plan, then the cutters of whom it is open whether main cut is lost and a few
 * tests would tell, each on the item with the most money at stake, the most first.
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
      ? [{ store, item: '', cutter: '', tests: owed, by: dueDay(input), why, atStake: Number.NaN }]
      : [];
  });
};

const ofCutters = (input: OwedInput): OwedRow[] => {
  const { chain, effects, shares } = input;
  const valueRows = new Map(
    effects.flatMap((row): [string, EffectRow][] =>
      row.kind === 'cutter-item' && row.outcome === 'value' ? [[`${row.id}\u0000${row.item}`, row]] : [],
    ),
  );
  const { cash, percent } = chainNumbers(chain);
  const { effect_points: threshold, chance: told } = chain.thresholds;
  const asked = new Set<string>();
  return effects
    .flatMap((row) => {
      if (row.kind !== 'cutter-item' || row.outcome !== 'main_cut' || !(row.sd > 0)) return [];
      const chance = normalCdf((-threshold - row.effect) / row.sd);
      const tests = chance > letBe && chance < told ? testsToSettle(row, { threshold, told }) : undefined;
      if (tests === undefined) return [];
      const key = `${row.id}\u0000${row.item}`;
      const kg = (shares.cutters.get(key) ?? []).reduce(
        (sum, share) => sum + (share.kgPerWeek > 0 ? share.kgPerWeek : 0),
        0,
      );
      return [{ row, chance, tests, atStake: expectedLoss(valueRows.get(key)) * kg }];
    })
    .sort(
      (a, b) => known(b.atStake) - known(a.atStake) || a.tests - b.tests || (a.row.id < b.row.id ? -1 : 1),
    )
    .filter(({ row: { id } }) => {
      const isFirst = !asked.has(id);
      asked.add(id);
      return isFirst;
    })
    .map(({ row, chance, tests, atStake }) => ({
      store: row.store,
      item: row.item,
      cutter: row.id,
      tests,
      by: dueDay(input),
      why: `whether main cut is lost is open (${percent.format(chance)} likely)${atStake > 0 ? `; about ${cash.format(atStake)} a week is at stake` : ''}`,
      atStake,
    }));
};

/**
 * Least number of further tests, at most `farthestNeed`, after which it is as likely as not that a loss beyond the threshold
 * is told or let be: what they will show is drawn from what is known now (preposterior analysis, Raiffa &
 * Schlaifer 1961 ch. 5, from memory); undefined where so few do not.
 */
const testsToSettle = (
  { effect, sd, testSd }: EffectRow,
  { threshold, told }: { threshold: number; told: number },
): number | undefined => {
  const apart = -threshold - effect;
  for (let n = 1; n <= farthestNeed; n++) {
    const after = 1 / Math.sqrt(1 / sd ** 2 + n / testSd ** 2);
    const moves = Math.sqrt(sd ** 2 - after ** 2);
    const isTold = normalCdf((apart - normalQuantile(told) * after) / moves);
    const isLetBe = normalCdf((normalQuantile(letBe) * after - apart) / moves);
    if (isTold + isLetBe >= likelyToSettle) return n;
  }
  return undefined;
};

/** Mean of what is lost, gains as 0, where value gained is normal; NaN where it is not known. */
const expectedLoss = (value: EffectRow | undefined): number => {
  if (value === undefined || !(value.sd > 0)) return Number.NaN;
  const z = -value.effect / value.sd;
  return value.sd * (normalDensity(z) + z * normalCdf(z));
};

const known = (value: number): number => (Number.isNaN(value) ? -1 : value);
