import { describe, expect, it } from 'vitest';
import { type ItemRows, leftOutOfCosts } from '../../../src/publish/pages/buyerView.ts';
import { formats } from '../../../src/publish/pages/formats.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
const tests = (count: number, weightClass: string, costPerSaleableKg = 20) =>
  Array.from({ length: count }, () => ({ weightClass, costPerSaleableKg }));
const row = (count: number) => ({ rows: [{ tests: count }] }) as ItemRows;

describe('tests that stand in no row of the costs', () => {
  it('are told with the reason, those without a cost first', () => {
    const all = [
      ...tests(1200, '11-13'),
      ...tests(1, ''),
      ...tests(3, '15-up'),
      ...tests(9, '13-15', Number.NaN),
    ];
    expect(leftOutOfCosts(all, [row(1200)], write)).toBe(
      ' Left out: 9 tests without a known cost, 1 test in no weight class of its item, 3 tests of which too few are alike.',
    );
    expect(leftOutOfCosts(tests(1100, ''), [], write)).toBe(
      ' Left out: 1,100 tests in no weight class of their item.',
    );
  });
  it('go unsaid where there are none', () => {
    expect(leftOutOfCosts(tests(5, '11-13'), [row(5)], write)).toBe('');
  });
});
