import { readChain } from '../../../src/catalog/readChain.ts';
import type { MeasuredTest } from '../../../src/measure/measured.ts';
import { diskFileSystem } from '../../../src/system/fileSystem.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';

export const shortChainFile = readChain('sample-data', diskFileSystem);

type Place = { store: string; supplier: string; lot: string; day: number };

/**
 * Tests of 6 stores and 4 suppliers over 20 weeks, scales with 0.4 points of noise: what is short, % of billed, by place. A lot
 * is a fortnight of a supplier, in all stores.
 */
export const shortChain = (
  shortOf: (place: Place) => number,
  {
    stores = 6,
    suppliersOf = () => ['North', 'South', 'East', 'West'],
    seed = 1,
  }: { stores?: number; suppliersOf?: (store: string) => string[]; seed?: number } = {},
): MeasuredTest[] => {
  const draw = seededDraws(seed, 9);
  return Array.from({ length: stores }, (_, s) => `s${s + 1}`).flatMap((store) =>
    Array.from({ length: 100 }, (_, i) => {
      const day = Math.floor((i * 140) / 100);
      const suppliers = suppliersOf(store);
      const supplier = suppliers[i % suppliers.length] as string;
      const lot = `${supplier}-${Math.floor(day / 14)}`;
      const percent = shortOf({ store, supplier, lot, day }) + 0.4 * draw.normal();
      return {
        store,
        supplier,
        lot,
        plant: '',
        spec: '',
        treatment: '',
        item: '112A',
        region: 'Bay',
        testId: `${store}-${i}`,
        cutDay: 20_000 + day,
        packDay: Number.NaN,
        billedFilledKg: 10,
        purchaseCost: 90,
        purgeOfBilled: 0.012,
        shortKg: percent / 10,
        boughtClass: '',
        piecesIn: 1,
        drainedKg: 9.8,
        purgeFilledKg: 0.12,
        sourceFile: `inbox/${store}.csv`,
        sourceLine: i + 2,
      } as unknown as MeasuredTest;
    }),
  );
};
