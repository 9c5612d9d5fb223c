import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { breakEvenPrice } from '../../src/money/breakEvenPrice.ts';

describe('breakEvenPrice', () => {
  it('gives E12 (domain facts, constructed): 25.3322 without and 26.7235 with labor for the cap', () => {
    const whole = { marginPerBilledKg: 39.774 / 14, laborPerBilledKg: 2.4 / 14 };
    const capAndEye = { marginPerBilledKg: 34.387 / 14, laborPerBilledKg: 5.6 / 14 };
    const cap = breakEvenPrice(whole, capAndEye, { pricePerKg: 22.99, outputOfBilled: 2.3 / 14 });
    expect(cap.withoutLabor).toBeCloseTo(25.3322, 4);
    expect(cap.withLabor).toBeCloseTo(26.7235, 4);
  });

  it('is the price in force where both ways earn the same, and unknown for an output that does not come', () => {
    const same = { marginPerBilledKg: 2, laborPerBilledKg: 0.1 };
    expect(breakEvenPrice(same, same, { pricePerKg: 9, outputOfBilled: 0.2 })).toEqual({
      withoutLabor: 9,
      withLabor: 9,
    });
    expect(breakEvenPrice(same, same, { pricePerKg: 9, outputOfBilled: 0 }).withLabor).toBeNaN();
  });

  it('makes both ways earn the same when it is charged', () => {
    const number = fc.double({ min: -5, max: 20, noNaN: true });
    fc.assert(
      fc.property(number, number, fc.double({ min: 0.02, max: 0.9, noNaN: true }), (a, b, share) => {
        const price = breakEvenPrice(
          { marginPerBilledKg: a, laborPerBilledKg: 0.2 },
          { marginPerBilledKg: b, laborPerBilledKg: 0.5 },
          { pricePerKg: 10, outputOfBilled: share },
        );
        expect(b + (price.withoutLabor - 10) * share).toBeCloseTo(a, 9);
        expect(b - 0.5 + (price.withLabor - 10) * share).toBeCloseTo(a - 0.2, 9);
      }),
    );
  });
});
