import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LossRow } from '../../../src/findings/found.ts';
import { moneySum, shownLosses } from '../../../src/publish/pages/losses.ts';

const loss = (store: string, moneyPerWeek: number, cutters: number, minimum = 5): LossRow => ({
  region: 'North',
  store,
  item: '184',
  habit: 'over-trimming',
  moneyPerWeek,
  low: moneyPerWeek - 3,
  high: moneyPerWeek + 4,
  tests: 10,
  cutters,
  suppressed: cutters < minimum,
});

describe('losses that pages without people may show', () => {
  it('leaves a small room out of every row and gives no sum that is hers alone', () => {
    const shown = shownLosses([loss('a', 50, 6), loss('b', 20, 2)], 5);
    expect(shown.rows.map((row) => row.store)).toEqual(['a']);
    expect(shown.together).toBeUndefined();
    expect(shown.withheld).toBe(1);
  });

  it('gives one sum for the chain from three small stores up, when they are enough people together', () => {
    const three = [loss('a', 10, 2), loss('b', 20, 2), loss('c', 30, 1)];
    expect(shownLosses(three, 5).together).toMatchObject({ value: 60, stores: 3 });
    expect(shownLosses(three.slice(0, 2), 4).together).toBeUndefined();
    expect(shownLosses([loss('a', 10, 1), loss('b', 20, 1), loss('c', 30, 1)], 5).together).toBeUndefined();
  });

  it('shows the same to a reader whichever small store loses the money (no difference gives one away)', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 59 }), (part) => {
        const small = (a: number) => [
          loss('big', 40, 9),
          { ...loss('a', a, 2), low: 0, high: 0 },
          { ...loss('b', 60 - a, 2), low: 0, high: 0 },
          { ...loss('c', 5, 2), low: 0, high: 0 },
        ];
        const [one, other] = [shownLosses(small(part), 5), shownLosses(small(60 - part), 5)];
        expect(one.rows).toEqual(other.rows);
        expect(one.together?.value).toBeCloseTo(other.together?.value as number, 9);
      }),
    );
  });

  it('adds money and takes half-widths in quadrature', () => {
    expect(moneySum([loss('a', 10, 9), loss('b', 20, 9)])).toEqual({
      value: 30,
      low: 30 - Math.sqrt(18),
      high: 30 + Math.sqrt(32),
      tests: 20,
    });
    expect(moneySum([])).toEqual({ value: 0, low: 0, high: 0, tests: 0 });
  });

  it('adds half-widths of one person or room, wherever its rows stand', () => {
    const of = (source: number, money: number) => ({
      ...loss('a', money, 9),
      errors: [{ source, below: 3, above: 4 }],
    });
    const { low, high } = moneySum([of(0, 10), of(0, 20)]);
    expect([low, high]).toEqual([24, 38]);
    expect(moneySum([of(0, 10), of(1, 20)]).low).toBeCloseTo(30 - Math.sqrt(18), 12);
  });
});
