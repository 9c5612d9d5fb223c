import { describe, expect, it } from 'vitest';
import { summedMoney } from '../../src/money/summedMoney.ts';

const amount = (source: string | number, value: number, reach: number) => ({
  value,
  errors: [{ source, below: reach, above: 2 * reach }],
});

describe('money added up', () => {
  it('adds the half widths of one person or room, and those of others in quadrature', () => {
    const alone = summedMoney([amount(1, 10, 3), amount(1, 20, 5)]);
    expect(alone).toEqual({ value: 30, low: 22, high: 46, errors: [{ source: 1, below: 8, above: 16 }] });
    const apart = summedMoney([amount(1, 10, 3), amount(2, 20, 4)]);
    expect([apart.value, apart.low, apart.high]).toEqual([30, 25, 40]);
  });
  it('is the same however rows are added before', () => {
    const rows = [amount(1, 10, 3), amount(1, 20, 5), amount(2, 7, 6), amount(1, 1, 1)];
    const [a, b, c, d] = rows as [(typeof rows)[0], (typeof rows)[0], (typeof rows)[0], (typeof rows)[0]];
    const two = [summedMoney([a, c]), summedMoney([b, d])];
    expect(summedMoney(two)).toEqual(summedMoney(rows));
    expect(summedMoney([])).toEqual({ value: 0, low: 0, high: 0, errors: [] });
  });
});
