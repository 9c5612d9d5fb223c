import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { costBySalesValue, costByWeight } from '../../src/money/jointCost.ts';
import { massBalance } from '../../src/money/massBalance.ts';
import { priceList } from '../../src/money/priceList.ts';
import { priceEntry } from './priceEntry.ts';

const ask = { output: 'eye', item: 'a', grade: 'g', region: 'north', day: 50 };

describe('price list', () => {
  it('lets the most specific row win, an ad before a regular price, and refuses a tie', () => {
    expect(priceList([priceEntry({}), priceEntry({ region: 'north', pricePerKg: 12 })]).inForce(ask)).toBe(
      12,
    );
    expect(
      priceList([
        priceEntry({ region: 'north', pricePerKg: 12 }),
        priceEntry({ kind: 'ad', pricePerKg: 7, validFrom: 45, validTo: 51 }),
      ]).inForce(ask),
    ).toBe(7);
    expect(
      priceList([priceEntry({ region: 'north' }), priceEntry({ item: 'a', pricePerKg: 12 })]).inForce(ask),
    ).toBeNaN();
    expect(priceList([priceEntry({ validTo: 49 })]).inForce(ask)).toBeNaN();
  });
  it('compares people at regular prices only: an ad changes nothing', () => {
    const regular = [
      priceEntry({ region: 'north', pricePerKg: 12 }),
      priceEntry({ region: 'south', pricePerKg: 10 }),
    ];
    expect(priceList(regular).regular(ask)).toBe(11);
    expect(priceList([...regular, priceEntry({ kind: 'ad', pricePerKg: 1 })]).regular(ask)).toBe(11);
  });
});

describe('mass balance', () => {
  it('takes purge off only when weighed in the bag, and knows nothing when purge is missing there', () => {
    const inBag = massBalance({
      billedKg: 10,
      receivedKg: 10,
      weighed: 'in-bag',
      purgeKg: 0.2,
      addedKg: Number.NaN,
      outputsKg: [9, 0.7],
    });
    expect(inBag.drainedKg).toBeCloseTo(9.8, 12);
    expect(inBag.unaccountedKg).toBeCloseTo(0.1, 12);
    expect(inBag.shortKg).toBeCloseTo(0, 12);
    expect(
      massBalance({
        billedKg: 10,
        receivedKg: 10,
        weighed: 'in-bag',
        purgeKg: Number.NaN,
        addedKg: Number.NaN,
        outputsKg: [9],
      }).drainedKg,
    ).toBeNaN();
  });
});

describe('joint cost', () => {
  const lines = fc.array(
    fc.tuple(fc.double({ min: 0.1, max: 50, noNaN: true }), fc.double({ min: 0, max: 40, noNaN: true })),
    { minLength: 1, maxLength: 8 },
  );
  it('adds to the purchase cost; sales value gives equal margins and nothing to what sells for nothing', () => {
    fc.assert(
      fc.property(lines, fc.double({ min: 1, max: 1000, noNaN: true }), (rows, cost) => {
        const kg = rows.map((row) => row[0]);
        const price = rows.map((row) => row[1]);
        expect(costByWeight(kg, cost).reduce((a, b) => a + b, 0)).toBeCloseTo(cost, 6);
        const value = kg.map((weight, i) => weight * (price[i] as number));
        if (value.reduce((a, b) => a + b, 0) < 1e-3) return;
        const shares = costBySalesValue(kg, price, cost);
        expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(cost, 6);
        const factors = shares.flatMap((share, i) =>
          (value[i] as number) > 1e-6 ? [share / (value[i] as number)] : [],
        );
        for (const factor of factors) expect(factor / (factors[0] as number)).toBeCloseTo(1, 9);
        for (const [i, share] of shares.entries()) if (price[i] === 0) expect(share).toBe(0);
      }),
    );
  });
});
