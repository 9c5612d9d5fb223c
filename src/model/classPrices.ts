import type { ColumnTable } from 'arquero';
import { type Outcome, outcomes } from '../catalog/outcomes.ts';
import { numbersOf, textsOf } from '../tables/columns.ts';
import type { ClassPrices } from './closeEffects.ts';

/**
 * Mean regular price of each class by item, weighted by weight cut in the used tests; item '' = over all items. A class
 * that was never weighed or never priced is left out.
 */
export const classPrices = (
  outputs: ColumnTable,
  used: ColumnTable,
): {
  rows: { item: string; outcome: Outcome; pricePerKg: number }[];
  of: (item: string) => ClassPrices;
} => {
  const sums = new Map<string, { kg: number; value: number }>();
  const add = (item: string, outcome: string, kg: number, price: number): void => {
    const key = `${item}\u0000${outcome}`;
    const own = sums.get(key) ?? { kg: 0, value: 0 };
    sums.set(key, { kg: own.kg + kg, value: own.value + (price > 0 ? kg * price : 0) });
  };
  if (outputs.numRows() > 0 && used.numRows() > 0) {
    const itemOf = new Map<string, string>();
    const [stores, ids, items] = [textsOf(used, 'store'), textsOf(used, 'testId'), textsOf(used, 'item')];
    for (const [i, store] of stores.entries())
      itemOf.set(`${store}\u0000${ids[i] as string}`, items[i] as string);
    const [store, testId, name] = [
      textsOf(outputs, 'store'),
      textsOf(outputs, 'testId'),
      textsOf(outputs, 'outputClass'),
    ];
    const [kg, price] = [numbersOf(outputs, 'outputKg'), numbersOf(outputs, 'regularPricePerKg')];
    for (let i = 0; i < kg.length; i++) {
      const item = itemOf.get(`${store[i] as string}\u0000${testId[i] as string}`);
      if (item === undefined || !((kg[i] as number) > 0)) continue;
      const outcome = (name[i] as string).replace(' ', '_');
      add(item, outcome, kg[i] as number, price[i] as number);
      add('', outcome, kg[i] as number, price[i] as number);
    }
  }
  const rows = [...sums.keys()].sort().flatMap((key) => {
    const [item, name] = key.split('\u0000') as [string, string];
    const outcome = outcomes.find((known) => known === name);
    const { kg, value } = sums.get(key) as { kg: number; value: number };
    return outcome === undefined ? [] : [{ item, outcome, pricePerKg: value / kg }];
  });
  const byItem = new Map<string, ClassPrices>();
  for (const row of rows) byItem.set(row.item, { ...byItem.get(row.item), [row.outcome]: row.pricePerKg });
  return { rows, of: (item) => byItem.get(item) ?? {} };
};
