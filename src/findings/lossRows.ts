import { type SourceError, summedMoney } from '../money/summedMoney.ts';
import type { LossRow } from './found.ts';
import type { WeeklyShare } from './weeklyShares.ts';

/** The weight that a loss is counted on, kg: a week's, or where no volume is known that of the tests seen. */
export const weightOf = ({ kgPerWeek, kgSeen }: WeeklyShare): { kg: number; isWeekly: boolean } =>
  Number.isNaN(kgPerWeek) ? { kg: kgSeen, isWeekly: false } : { kg: kgPerWeek, isWeekly: true };

/** What one cutter or room loses in a store: `perKg` is the value lost per kg with its 95 % interval. */
export const lossRow = (
  share: WeeklyShare,
  about: Pick<LossRow, 'item' | 'habit' | 'tests' | 'went'>,
  perKg: { value: number; low: number; high: number },
): LossRow => {
  const { kg, isWeekly } = weightOf(share);
  return {
    region: share.region,
    store: share.store,
    moneyPerWeek: Math.max(0, perKg.value * kg),
    low: perKg.low * kg,
    high: perKg.high * kg,
    cutters: 0,
    suppressed: false,
    ...about,
    ...(isWeekly ? {} : { ofTestsSeen: true }),
  };
};

/** Money of one cutter's or room's losses with its interval: their errors go together, but for those that `errors` tell apart. */
export const moneyOfOne = (
  losses: readonly (Pick<LossRow, 'moneyPerWeek' | 'low' | 'high'> & { errors?: readonly SourceError[] })[],
): { moneyPerWeek: number; moneyLow: number; moneyHigh: number } => {
  const { value, low, high } = summedMoney(
    losses.map(({ moneyPerWeek, low, high, errors }) => ({
      value: moneyPerWeek,
      errors: errors ?? [{ source: '', below: moneyPerWeek - low, above: high - moneyPerWeek }],
    })),
  );
  return { moneyPerWeek: value, moneyLow: low, moneyHigh: high };
};
