import { table } from 'arquero';
import { describe, expect, it } from 'vitest';
import { beyondExpected } from '../../../src/publish/pages/beyondExpected.ts';

/** Four tests that the model explains in full: month +1 and -1 points, suppliers +2 and -2, delivery +0.5 in the first. */
const tests = ['a', 'b', 'c', 'd'].map((testId) => ({ store: 's', testId, item: '180' }));
const modeled = {
  expected: table({
    store: ['s', 's', 's', 's'],
    testId: ['a', 'b', 'c', 'd'],
    residual_saleable: [0, 0, 0, 0.01],
  }),
  termsOf: (_: string, testId: string) => [
    { term: 'average', size: 80 },
    { term: 'month', size: testId < 'c' ? 4 : 2 },
    { term: 'supplier', size: testId === 'a' || testId === 'c' ? 2 : -2 },
    { term: 'delivery', size: testId === 'a' ? 0.5 : 0 },
  ],
};
const points = (pick: 'withTime' | 'withSupplier'): number[] =>
  [...beyondExpected(tests, modeled).values()].map((one) => Math.round(one[pick] * 1e5) / 1e3);

describe('what a test yielded beyond expected', () => {
  it('shows the months that the model explains, against the mean of the item', () => {
    expect(points('withTime')).toEqual([1.375, 0.875, -1.125, -0.125]);
  });
  it('shows the suppliers that the model explains', () => {
    expect(points('withSupplier')).toEqual([2.5, -2, 2, -1]);
  });
  it('keeps what is left of a test without a fit', () => {
    const bare = beyondExpected(tests, { ...modeled, termsOf: () => [] });
    expect(bare.get('s\u0000d')).toEqual({ withTime: 0.01, withSupplier: 0.01 });
  });
});
