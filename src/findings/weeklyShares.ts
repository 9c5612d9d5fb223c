import type { MeasuredTest } from '../measure/measured.ts';
import { volumeWeeks } from '../money/volumeWeeks.ts';
import type { VolumeRow } from '../normalize/normalized.ts';

/** How much of an item one cutter (or a whole store) breaks down in a store, kg a week; NaN volume = not known. */
export type WeeklyShare = { store: string; region: string; kgPerWeek: number; kgSeen: number };

/** Mean weekly volume, kg, of each store and item over the last `volumeWeeks` up to asOfDay. */
const weeklyVolumes = (volumes: readonly VolumeRow[], asOfDay: number): Map<string, number> => {
  const sums = new Map<string, { kg: number; n: number }>();
  for (const row of volumes) {
    if (row.weekOf > asOfDay || row.weekOf <= asOfDay - 7 * volumeWeeks) continue;
    const sum = sums.get(`${row.store}\u0000${row.item}`) ?? { kg: 0, n: 0 };
    sums.set(`${row.store}\u0000${row.item}`, { kg: sum.kg + row.weightKg, n: sum.n + 1 });
  }
  return new Map([...sums].map(([key, sum]) => [key, sum.kg / sum.n]));
};

/**
 * Per cutter x item (key `cutter NUL item`) its stores with the cutter's share of the store's weekly volume: shares of a
 * store's cutters add to the store's volume, so their money adds to the store's.
 */
export const weeklyShares = (
  tests: readonly MeasuredTest[],
  volumes: readonly VolumeRow[],
  asOfDay: number,
): { cutters: Map<string, WeeklyShare[]>; stores: Map<string, WeeklyShare> } => {
  const volume = weeklyVolumes(volumes, asOfDay);
  const counts = new Map<string, { tests: number; kg: number; region: string }>();
  const perCutter = new Map<string, Map<string, { tests: number; kg: number }>>();
  for (const test of tests) {
    const storeItem = `${test.store}\u0000${test.item}`;
    const store = counts.get(storeItem) ?? { tests: 0, kg: 0, region: test.region };
    counts.set(storeItem, { tests: store.tests + 1, kg: store.kg + test.drainedKg, region: test.region });
    const own =
      perCutter.get(`${test.cutter}\u0000${test.item}`) ?? new Map<string, { tests: number; kg: number }>();
    const seen = own.get(test.store) ?? { tests: 0, kg: 0 };
    own.set(test.store, { tests: seen.tests + 1, kg: seen.kg + test.drainedKg });
    perCutter.set(`${test.cutter}\u0000${test.item}`, own);
  }
  const stores = new Map(
    [...counts].map(([key, count]) => [
      key,
      {
        store: key.split('\u0000')[0] as string,
        region: count.region,
        kgPerWeek: volume.get(key) ?? Number.NaN,
        kgSeen: count.kg,
      },
    ]),
  );
  const cutters = new Map(
    [...perCutter].map(([key, own]) => {
      const item = key.split('\u0000')[1] as string;
      return [
        key,
        [...own].sort().map(([store, seen]): WeeklyShare => {
          const whole = stores.get(`${store}\u0000${item}`) as WeeklyShare;
          const share = seen.tests / (counts.get(`${store}\u0000${item}`)?.tests as number);
          return { store, region: whole.region, kgPerWeek: whole.kgPerWeek * share, kgSeen: seen.kg };
        }),
      ];
    }),
  );
  return { cutters, stores };
};
