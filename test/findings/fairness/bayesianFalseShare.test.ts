import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { listWithinFalseShare } from '../../../src/findings/fairness/bayesianFalseShare.ts';

describe('list within a share of false findings', () => {
  it('lists as many as the mean of 1 - chance allows', () => {
    // by hand: doubts 0.02, 0.05, 0.20 (mean 0.09), then 0.30 (mean 0.1425)
    const listed = listWithinFalseShare([0.7, 0.98, 0.8, Number.NaN, 0.95], 0.1);
    expect(listed.isListed).toEqual([false, true, true, false, true]);
    expect(listed.count).toBe(3);
    expect(listed.falseShare).toBeCloseTo(0.09, 12);
  });
  it('lists nothing when the best is not sure enough, all when all are', () => {
    expect(listWithinFalseShare([0.89, 0.5], 0.1)).toEqual({
      isListed: [false, false],
      count: 0,
      falseShare: 0,
    });
    expect(listWithinFalseShare([0.9, 0.9], 0.1).count).toBe(2);
    expect(listWithinFalseShare([], 0.1).count).toBe(0);
  });
  it('takes equal chances together', () => {
    expect(listWithinFalseShare([0.99, 0.85, 0.85, 0.85], 0.1).isListed).toEqual([true, false, false, false]);
  });
  it('keeps its promise, cannot be longer, and does not mind order', () => {
    const chances = fc.array(
      fc.integer({ min: 0, max: 1000 }).map((share) => share / 1000),
      { maxLength: 40 },
    );
    fc.assert(
      fc.property(chances, (own) => {
        const { isListed, count, falseShare } = listWithinFalseShare(own, 0.1);
        expect(isListed.filter(Boolean)).toHaveLength(count);
        expect(falseShare).toBeLessThanOrEqual(0.1);
        const turned = listWithinFalseShare([...own].reverse(), 0.1);
        expect(turned.isListed.reverse()).toEqual(isListed);
      }),
    );
  });
});
