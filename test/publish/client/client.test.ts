import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cellOrder } from '../../../src/publish/client/cellOrder.ts';
import { csvCell } from '../../../src/publish/client/csvCell.ts';
import { findEntries } from '../../../src/publish/client/findEntries.ts';
import { hashOf, hashState } from '../../../src/publish/client/hashState.ts';
import { staleDays } from '../../../src/publish/client/staleDays.ts';

describe('cells of an exported CSV', () => {
  it('cannot be formulas, and numbers stay numbers', () => {
    expect(csvCell('=HYPERLINK("x")')).toBe('"\'=HYPERLINK(""x"")"');
    expect(csvCell('@SUM(A1)')).toBe("'@SUM(A1)");
    expect(csvCell('+1-2')).toBe("'+1-2");
    expect(csvCell('-cmd')).toBe("'-cmd");
    expect(csvCell('-4.2')).toBe('-4.2');
    expect(csvCell('\u22124.2')).toBe('-4.2');
    expect(csvCell('\u2212 4')).toBe('\u2212 4');
    expect(csvCell('+0.5 %')).toBe('+0.5 %');
    expect(csvCell('a,b')).toBe('"a,b"');
  });
});

describe('order of cells', () => {
  it('knows money, signs, thousands and per cent, and sorts keys by their number', () => {
    const sorted = (...cells: string[]): string[] => [...cells].sort(cellOrder);
    expect(sorted('$1,204', '-$3.10', '$88')).toEqual(['-$3.10', '$88', '$1,204']);
    expect(sorted('+0.5', '-1.2', '0.0')).toEqual(['-1.2', '0.0', '+0.5']);
    expect(sorted('$4', '\u2212$12', '\u22120.5')).toEqual(['\u2212$12', '\u22120.5', '$4']);
    expect(sorted('10.2 %', '9.8 %')).toEqual(['9.8 %', '10.2 %']);
    expect(sorted('s-010', 's-9', 's-1')).toEqual(['s-1', 's-9', 's-010']);
    expect(sorted('', '4', 'never')).toEqual(['4', '', 'never']);
    expect(sorted('1.204,5', '88,25')).toEqual(['88,25', '1.204,5']);
  });
});

describe('finding', () => {
  const entries = [
    ['store Mill Street (s-003)', 'a'],
    ['cutter 00ab', 'b'],
    ['Mill cutter', 'c'],
  ] as const;
  it('wants every word and puts beginnings first', () => {
    expect(findEntries(entries, 'mill').map(([, href]) => href)).toEqual(['c', 'a']);
    expect(findEntries(entries, 's-003 mill').map(([, href]) => href)).toEqual(['a']);
    expect(findEntries(entries, '  ')).toEqual([]);
  });
});

describe('state in the address', () => {
  it('comes back as it went, and places on the page are left alone', () => {
    expect(hashState('#where-it-goes').size).toBe(0);
    fc.assert(
      fc.property(fc.dictionary(fc.string({ minLength: 1 }), fc.string({ minLength: 1 })), (state) => {
        const map = new Map(Object.entries(state));
        expect(hashState(hashOf(map))).toEqual(map);
      }),
    );
  });
});

describe('stale copies', () => {
  const night = { dataTo: '2026-11-23', staleAfterDays: 7 };
  it('are told after the days the chain allows', () => {
    expect(staleDays(night, Date.parse('2026-11-30T23:00:00Z'))).toBe(0);
    expect(staleDays(night, Date.parse('2026-12-01T00:00:00Z'))).toBe(8);
  });
});
