import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { groupedBy } from '../../src/tables/groupedBy.ts';

describe('groupedBy', () => {
  it('keeps groups and rows in the order first seen', () => {
    expect([...groupedBy(['b1', 'a1', 'b2'], (text) => text[0])]).toEqual([
      ['b', ['b1', 'b2']],
      ['a', ['a1']],
    ]);
    expect(groupedBy([], () => 1).size).toBe(0);
  });
  it('loses no row and puts each under its own key', () => {
    fc.assert(
      fc.property(fc.array(fc.nat()), (rows) => {
        const groups = groupedBy(rows, (row) => row % 3);
        expect([...groups.values()].flat().sort()).toEqual([...rows].sort());
        for (const [key, own] of groups) for (const row of own) expect(row % 3).toBe(key);
      }),
    );
  });
});
