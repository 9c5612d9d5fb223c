import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { moneyQuantiles } from '../../../src/publish/pages/moneyQuantiles.ts';

describe('20 equally likely amounts', () => {
  it('is empty without a spread', () => {
    expect(moneyQuantiles({ value: 0, low: 0, high: 0, tests: 0 }).dots).toEqual([]);
    expect(moneyQuantiles({ value: Number.NaN, low: Number.NaN, high: Number.NaN, tests: 0 }).dots).toEqual(
      [],
    );
  });
  it('puts 10 dots on each side of the middle and at most one beyond each end of the 95 % interval', () => {
    fc.assert(
      fc.property(fc.integer({ min: 10, max: 5000 }), fc.integer({ min: 5, max: 90 }), (value, share) => {
        const half = (value * share) / 100;
        const { dots, width, highest } = moneyQuantiles({
          value,
          low: value - half,
          high: value + half,
          tests: 9,
        });
        expect(dots).toHaveLength(20);
        expect(Math.max(...dots.map((dot) => dot.level))).toBe(highest);
        expect(dots.filter((dot) => dot.bin + width / 2 <= value).length).toBeLessThanOrEqual(10);
        expect(dots.filter((dot) => dot.bin - width / 2 > value + half).length).toBeLessThanOrEqual(1);
        expect(dots.filter((dot) => dot.bin + width / 2 < value - half).length).toBeLessThanOrEqual(1);
      }),
    );
  });
});
