import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boxVariance, meanRow } from '../../../src/findings/buying/meanRow.ts';
import { boughtTest } from './boughtChain.ts';

const box = (testId: string, kg: number, store: string) =>
  boughtTest({ testId, store, meanPieceKg: kg, drainedKg: kg });
const rowAt = (kg: number): number[] => [1, kg];

describe('the mean row of boxes', () => {
  it('weighs each box by its weight, and tells how far each store pulls it (worked by hand)', () => {
    const { row, pulls } = meanRow([box('a', 8, 's1'), box('b', 12, 's2')], rowAt);
    // (8 x 8 + 12 x 12) / 20 = 10.4; pulls 0.4 x (8 - 10.4) and 0.6 x (12 - 10.4)
    expect(row[1]).toBeCloseTo(10.4, 12);
    expect(pulls.map((pull) => pull[1])).toEqual([expect.closeTo(-0.96, 12), expect.closeTo(0.96, 12)]);
    // slope 0.5: 2 x 2 x 0.48^2, widened by (1 + (1.959964^2 + 1) / 4)^2 for one degree of freedom
    expect(boxVariance(pulls, [3, 0.5])).toBeCloseTo(
      2 * 2 * 0.48 ** 2 * (1 + (1.959964 ** 2 + 1) / 4) ** 2,
      5,
    );
  });

  it('is not doubted by boxes of one weight, nor by a flat curve; one store is doubted by its boxes', () => {
    const same = meanRow([box('a', 9, 's1'), box('b', 9, 's2')], rowAt);
    expect(boxVariance(same.pulls, [3, 0.5])).toBeCloseTo(0, 15);
    const one = meanRow([box('a', 8, 's1'), box('b', 12, 's1'), box('c', 9, 's1')], rowAt);
    expect(one.pulls).toHaveLength(3);
    expect(boxVariance(one.pulls, [3, 0])).toBe(0);
    expect(boxVariance(meanRow([box('a', 8, 's1')], rowAt).pulls, [3, 0.5])).toBe(0);
    expect(() => meanRow([], rowAt)).toThrow(/0 boxes/);
  });

  it('has pulls that add to nothing, whatever the boxes and their order', () => {
    const anyBox = fc.record({
      kg: fc.double({ min: 4, max: 20, noNaN: true }),
      store: fc.integer({ min: 0, max: 5 }),
    });
    fc.assert(
      fc.property(fc.array(anyBox, { minLength: 1, maxLength: 90 }), (facts) => {
        const boxes = facts.map(({ kg, store }, i) => box(`t${i}`, kg, `s${store}`));
        const { row, pulls } = meanRow(boxes, rowAt);
        expect(row[0]).toBeCloseTo(1, 9);
        expect(pulls.reduce((sum, pull) => sum + (pull[1] as number), 0)).toBeCloseTo(0, 9);
        expect(meanRow([...boxes].reverse(), rowAt).row[1]).toBeCloseTo(row[1] as number, 1);
      }),
    );
  });
});
