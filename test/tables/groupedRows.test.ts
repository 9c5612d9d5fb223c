import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { groupedRows, matchedRows } from '../../src/tables/groupedRows.ts';

describe('matchedRows', () => {
  it('finds rows by both names, in order or not, and says where there is none', () => {
    const others = [
      ['s1', 's1', 's2'],
      ['a', 'b', 'a'],
    ] as const;
    expect([
      ...matchedRows(
        [
          ['s1', 's1', 's1', 's2'],
          ['a', 'a', 'b', 'a'],
        ],
        others,
      ),
    ]).toEqual([0, 0, 1, 2]);
    expect([
      ...matchedRows(
        [
          ['s2', 's3', 's1', 's1'],
          ['a', 'a', 'b', 'a'],
        ],
        others,
      ),
    ]).toEqual([2, -1, 1, 0]);
    expect([...matchedRows([[], []], others)]).toEqual([]);
    expect([...matchedRows([['s1'], ['a']], [[], []])]).toEqual([-1]);
  });

  it('finds what a search row by row finds', () => {
    const name = fc.constantFrom('a', 'b', 'c', 'd');
    fc.assert(
      fc.property(
        fc.array(fc.tuple(name, name)),
        fc.uniqueArray(fc.tuple(name, name), { selector: String }),
        (rows, others) => {
          const split = (pairs: [string, string][]) =>
            [pairs.map(([a]) => a), pairs.map(([, b]) => b)] as const;
          expect([...matchedRows(split(rows), split(others))]).toEqual(
            rows.map(([a, b]) => others.findIndex(([c, d]) => a === c && b === d)),
          );
        },
      ),
    );
  });
});

describe('groupedRows', () => {
  it('keeps the order of rows within their group and leaves out those in none', () => {
    const { start, rows } = groupedRows(Int32Array.from([1, 0, -1, 1, 2]), 4);
    expect([...start]).toEqual([0, 1, 3, 4, 4]);
    expect([...rows]).toEqual([1, 0, 3, 4]);
  });
});
