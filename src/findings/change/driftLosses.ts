import { z975 } from '../../tables/normalDistribution.ts';
import type { LossRow } from '../found.ts';
import { lossRow, weightOf } from '../lossRows.ts';
import type { WeeklyShare } from '../weeklyShares.ts';
import type { LevelChange } from './levelChanges.ts';
import type { PresentLevel, Size } from './presentLevel.ts';
import type { TimeLevels } from './timeLevels.ts';

/**
 * What a fall costs by store and item, on all items that the cutter's tests are of (or the one that fell): what is lost today
 * against expected, at most the fall, in value per kg x the cutter's weekly weight. `fall` is the same of the fall itself.
 */
export const driftLosses = (
  change: LevelChange,
  { people }: TimeLevels,
  value: PresentLevel,
  shares: ReadonlyMap<string, readonly WeeklyShare[]>,
): { losses: LossRow[]; fall: number } => {
  const cutter = people.cutter.levels[change.cutter] as string;
  const all = [...change.before, ...change.after];
  const lost = value.present.mean < value.fall.mean ? value.fall : value.present;
  let fall = 0;
  const losses = [...new Set(all.map((i) => people.item.codes[i] as number))].flatMap((code) => {
    const item = people.item.levels[code] as string;
    const own = all.filter((i) => people.item.codes[i] === code);
    const sd = own.reduce((sum, i) => sum + (people.sd.value[i] as number), 0) / own.length;
    return (shares.get(`${cutter}\u0000${item}`) ?? []).map((share): LossRow => {
      fall += Math.max(0, -value.fall.mean) * sd * weightOf(share).kg;
      const tests = own.filter(
        (i) => (people.day[i] as number) >= change.day && people.tests[i]?.store === share.store,
      ).length;
      return lossRow(share, { item, habit: 'drift', tests }, lossPerKg(lost, sd));
    });
  });
  return { losses, fall };
};

const lossPerKg = ({ mean, sd }: Size, unit: number): { value: number; low: number; high: number } => ({
  value: -mean * unit,
  low: (-mean - z975 * sd) * unit,
  high: (-mean + z975 * sd) * unit,
});
