import { describe, expect, it } from 'vitest';
import { standardRows } from '../../../src/findings/merchandise/standardRows.ts';
import type { MeasuredOutput } from '../../../src/measure/measured.ts';
import { boughtSettings, boughtTest } from '../buying/boughtChain.ts';

const chain = { ...boughtSettings, target_margin: 30 } as typeof boughtSettings;
const setting = { chain, asOfDay: 100 };
const tests = Array.from({ length: 10 }, (_, i) =>
  boughtTest({ testId: `t${i}`, store: `s${i % 4}`, purchaseCost: 98, drainedKg: 9.8 }),
);
const lines = tests.flatMap((test, i) =>
  (
    [
      ['steak', 0.8 + (i % 2 === 0 ? 0.002 : -0.002), 20],
      ['trim', 0.1, 5],
      ['fat', 0.1, 0],
    ] as const
  ).map(
    ([output, outputYield, price]) =>
      ({
        store: test.store,
        testId: test.testId,
        output,
        outputYield,
        outputKg: outputYield * 9.8,
        pricePerKg: price,
        salesValue: outputYield * 9.8 * price,
      }) as MeasuredOutput,
  ),
);
const book = (yieldFraction: number, over: Partial<{ output: string; validFrom: number }> = {}) => ({
  item: 'rib',
  method: 'steaks',
  output: 'steak',
  yieldFraction,
  validFrom: 10,
  ...over,
});

describe('standards', () => {
  it('lists a book yield that the tests contradict, with the price before and after (worked by hand, constructed)', () => {
    const { changes, unsettled } = standardRows(lines, tests, [book(0.84)], setting);
    expect(unsettled).toEqual([]);
    const [row] = changes;
    expect(row?.measured).toBeCloseTo(0.8, 9);
    expect(row?.low).toBeLessThan(0.8);
    // cost 10 a drained kg; value 0.8 x 20 + 0.1 x 5 = 16.5 measured, 0.84 x 20 + 0.08 x 5 = 17.2 by the book
    expect(row?.priceAtTargetMargin).toBeCloseTo((20 * 10) / 16.5 / 0.7, 6);
    expect(row?.priceAtBook).toBeCloseTo((20 * 10) / 17.2 / 0.7, 6);
  });
  it('leaves alone what is within the interval or half a point, and what is not in force', () => {
    expect(standardRows(lines, tests, [book(0.804)], setting).changes).toEqual([]);
    expect(standardRows(lines, tests, [book(0.5, { validFrom: 101 })], setting).changes).toEqual([]);
    const later = standardRows(lines, tests, [book(0.5), book(0.8, { validFrom: 50 })], setting);
    expect(later.changes).toEqual([]);
  });
  it('says how many tests it has where they are too few', () => {
    const { unsettled } = standardRows(
      lines.slice(0, 9),
      tests,
      [book(0.84), book(0.1, { output: 'bone' })],
      setting,
    );
    expect(unsettled.map((row) => row.missing)).toEqual(['0 tests; 8 are needed', '3 tests; 8 are needed']);
  });
  it('gives no price where cost is not known', () => {
    const free = tests.map((test) => ({ ...test, purchaseCost: Number.NaN }));
    expect(standardRows(lines, free, [book(0.84)], setting).changes[0]?.priceAtBook).toBeNaN();
  });
});
