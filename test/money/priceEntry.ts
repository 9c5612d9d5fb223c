import type { PriceEntry } from '../../src/money/priceList.ts';

/** A regular price of `eye` that holds everywhere from day 0 on. */
export const priceEntry = (over: Partial<PriceEntry>): PriceEntry => ({
  output: 'eye',
  pricePerKg: 10,
  validFrom: 0,
  validTo: Number.NaN,
  kind: 'regular',
  region: '',
  item: '',
  grade: '',
  ...over,
});
