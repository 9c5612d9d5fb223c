import { describe, expect, it } from 'vitest';
import { marginCount, unpricedRows } from '../../../src/findings/merchandise/unpricedRows.ts';
import type { MeasuredOutput } from '../../../src/measure/measured.ts';
import { boughtTest } from '../buying/boughtChain.ts';

const line = (testId: string, output: string, outputClass: string, outputKg: number, price: number) =>
  ({
    store: 's1',
    testId,
    output,
    outputClass,
    outputKg,
    pricePerKg: price,
    regularPricePerKg: price,
  }) as unknown as MeasuredOutput;
const none = Number.NaN;
const tests = ['a', 'b'].map((testId) => boughtTest({ store: 's1', testId }));

describe('what was weighed without a price', () => {
  it('names each output with its share of all weight cut, heaviest first, by class of what it is', () => {
    const rows = unpricedRows(tests, [
      line('a', 'steak', 'main cut', 6, 20),
      line('b', 'steak', 'main cut', 7, 20),
      line('a', 'trim', 'lean trim', 1, none),
      line('b', 'trim', 'lean trim', 2, 8),
      line('a', 'fat', 'fat', 1.5, none),
      line('b', 'fat', 'fat', 2.5, none),
      line('held', 'cap', 'other cut', 9, none),
    ]);
    expect(rows.map((row) => [row.output, row.outputClass, row.testsWithout, row.tests])).toEqual([
      ['fat', 'fat', 2, 2],
      ['trim', 'lean trim', 1, 2],
    ]);
    expect(rows.map((row) => row.shareOfCut)).toEqual([4 / 20, 1 / 20]);
  });

  it('takes a price of 0 for a price, waste for what needs none, and a list that ended for none', () => {
    const ended = { ...line('a', 'bone', 'bone', 1, 2), regularPricePerKg: none };
    const rows = unpricedRows(tests, [
      line('a', 'fat', 'fat', 1, 0),
      line('a', 'rest', 'waste', 1, none),
      line('a', 'cap', 'other cut', 0, none),
      ended,
    ]);
    expect(rows.map((row) => row.output)).toEqual(['bone']);
  });

  it('counts the tests that sell below cost among those whose cost is known', () => {
    const margins = [-1, -0.01, 0, 5, none].map((grossMargin, i) =>
      boughtTest({ testId: `t${i}`, grossMargin }),
    );
    expect(marginCount(margins)).toEqual({ known: 4, negative: 2 });
  });
});
