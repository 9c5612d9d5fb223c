import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type PricedLine, testMoney } from '../../src/money/testMoney.ts';

const line = (kg: number, pricePerKg: number, role: 'main' | 'saleable' | 'other' = 'other'): PricedLine => ({
  kg,
  pricePerKg,
  isMain: role === 'main',
  isSaleable: role !== 'other',
});
const noLabor = { minutes: Number.NaN, perHour: 24 };

describe('testMoney', () => {
  it('gives E1 (domain facts, textbook butcher test exercise; secondary copy) in its own unit', () => {
    const lines = [
      line(22, Number.NaN, 'main'),
      line(6.5, Number.NaN),
      line(4.25, 0.32),
      line(3.25, 1.49, 'saleable'),
      line(2.5, 1.59, 'saleable'),
    ];
    const money = testMoney(lines, { billedKg: 38.75, unitCostPerKg: 3.19 }, noLabor);
    expect(money.purchaseCost).toBeCloseTo(123.6125, 10);
    expect(money.residualCostPerKg).toBeCloseTo(5.156136, 6);
    expect(money.costFactor).toBeCloseTo(1.616344, 6);
    expect(money.laborCost).toBeNaN();
    expect(money.marginAfterLabor).toBeNaN();
  });

  it('works a small test by hand: 10 kg at 5, 8 kg main at 9, 1 kg trim at 4, 0.9 kg fat at 0.5, 12 minutes', () => {
    const lines = [line(8, 9, 'main'), line(1, 4, 'saleable'), line(0.9, 0.5)];
    const money = testMoney(lines, { billedKg: 10, unitCostPerKg: 5 }, { minutes: 12, perHour: 30 });
    expect(money.salesValue).toBeCloseTo(76.45, 12);
    expect(money.grossMargin).toBeCloseTo(26.45, 12);
    expect(money.marginFraction).toBeCloseTo(26.45 / 76.45, 12);
    expect(money.markupFraction).toBeCloseTo(0.529, 12);
    expect(money.costPerSaleableKg).toBeCloseTo((50 - 0.45) / 9, 12);
    expect(money.residualCost).toBeCloseTo(50 - 4 - 0.45, 12);
    expect(money.laborCost).toBeCloseTo(6, 12);
    expect(money.marginAfterLabor).toBeCloseTo(20.45, 12);
    expect(money.marginPerHour).toBeCloseTo(102.25, 12);
  });

  it('does not divide by nothing: no main, no sales, no cost', () => {
    const money = testMoney([line(1, Number.NaN)], { billedKg: 2, unitCostPerKg: Number.NaN }, noLabor);
    for (const value of [
      money.purchaseCost,
      money.marginFraction,
      money.markupFraction,
      money.costPerSaleableKg,
      money.residualCostPerKg,
      money.costFactor,
    ])
      expect(value).toBeNaN();
    expect(money.salesValue).toBe(0);
  });

  it('does not depend on the unit of weight: prices per unit scale, money stays', () => {
    const lines = fc.array(
      fc.tuple(fc.double({ min: 0.1, max: 20, noNaN: true }), fc.double({ min: 0.1, max: 30, noNaN: true })),
      {
        minLength: 1,
        maxLength: 6,
      },
    );
    fc.assert(
      fc.property(lines, fc.double({ min: 0.2, max: 5, noNaN: true }), (drawn, scale) => {
        const role = (i: number) => (i === 0 ? 'main' : i % 2 === 0 ? 'saleable' : 'other');
        const of = (by: number) =>
          testMoney(
            drawn.map(([kg, price], i) => line(kg * by, price / by, role(i))),
            { billedKg: 30 * by, unitCostPerKg: 4 / by },
            { minutes: 10, perHour: 24 },
          );
        const [a, b] = [of(1), of(scale)];
        expect(b.grossMargin).toBeCloseTo(a.grossMargin, 6);
        expect(b.marginFraction).toBeCloseTo(a.marginFraction, 8);
        expect(b.residualCostPerKg * scale).toBeCloseTo(a.residualCostPerKg, 6);
        expect(b.costFactor).toBeCloseTo(a.costFactor, 8);
      }),
    );
  });
});
