import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chanceBest } from '../../src/money/chanceBest.ts';

describe('chance of being best', () => {
  it('is one half for equals, and known for two: P(Z > gap / sd)', () => {
    expect(
      chanceBest(
        [1, 1],
        [
          [1, 0],
          [0, 1],
        ],
      )[0],
    ).toBeCloseTo(0.5, 2);
    const [, second] = chanceBest(
      [1, 0],
      [
        [0.5, 0],
        [0, 0.5],
      ],
    );
    expect(second).toBeCloseTo(0.158655, 2);
  });
  it('sees through what two offers share', () => {
    const shared = [
      [100, 100],
      [100, 100.0001],
    ];
    expect(chanceBest([1, 0], shared)[0]).toBe(1);
  });
  it('shares ties that are certain, and is sure of one alone', () => {
    expect(
      chanceBest(
        [3, 3],
        [
          [0, 0],
          [0, 0],
        ],
      ),
    ).toEqual([0.5, 0.5]);
    expect(chanceBest([3], [[1]])).toEqual([1]);
    expect(chanceBest([], [])).toEqual([]);
  });
  it('adds to 1 and does not mind a shift of all means', () => {
    const mean = fc.double({ min: -3, max: 3, noNaN: true });
    fc.assert(
      fc.property(fc.tuple(mean, mean, mean), (means) => {
        const covariance = [
          [1, 0.3, 0],
          [0.3, 2, 0.1],
          [0, 0.1, 0.5],
        ];
        const found = chanceBest(means, covariance);
        expect(found.reduce((sum, value) => sum + value, 0)).toBeCloseTo(1, 9);
        const shifted = chanceBest(
          means.map((value) => value + 8),
          covariance,
        );
        for (const [i, value] of found.entries()) expect(shifted[i]).toBeCloseTo(value, 3);
      }),
      { numRuns: 10 },
    );
  });
});
