import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { demandShare } from '../../src/money/demandShare.ts';

describe('demandShare', () => {
  it('is what sells over what would come: 30 kg a week sell, 200 kg with 50 % main would give 100', () => {
    expect(demandShare(30, 200, 0.5)).toBeCloseTo(0.3, 12);
    expect(demandShare(0, 200, 0.5)).toBe(0);
  });

  it('is unknown where demand, volume or the main outputs are', () => {
    for (const [demand, volume, main] of [
      [Number.NaN, 200, 0.5],
      [30, Number.NaN, 0.5],
      [30, 0, 0.5],
      [30, 200, 0],
    ] as const)
      expect(demandShare(demand, volume, main)).toBeNaN();
  });

  it('is never more than all of it', () => {
    const positive = fc.double({ min: 0.01, max: 1e4, noNaN: true });
    fc.assert(
      fc.property(
        positive,
        positive,
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        (demand, volume, main) => {
          const share = demandShare(demand, volume, main);
          expect(share).toBeGreaterThan(0);
          expect(share).toBeLessThanOrEqual(1);
        },
      ),
    );
  });
});
