import { describe, expect, it } from 'vitest';
import type { FindingRow } from '../../src/findings/found.ts';
import { aboutStore, loneCutters } from '../../src/findings/loneCutters.ts';
import { boughtTest } from './buying/boughtChain.ts';

const cut = (...pairs: [store: string, cutter: string][]) =>
  pairs.map(([store, cutter], i) => boughtTest({ testId: `t${i}`, store, cutter }));

describe('lone cutters', () => {
  it('are those who share none of their stores', () => {
    const tests = cut(
      ['s1', 'a'],
      ['s1', 'b'],
      ['s2', 'c'],
      ['s3', 'c'],
      ['s4', 'b'],
      ['s5', 'd'],
      ['s5', 'd'],
    );
    expect([...loneCutters(tests)].sort()).toEqual(['c', 'd']);
    expect(loneCutters([]).size).toBe(0);
  });
  it('are not named: what is seen is told of the store, under an id of its own', () => {
    const finding = {
      findingId: 'x',
      kind: 'over-trimming',
      store: 's2',
      cutter: 'c-$1',
      item: '180',
      comparedWith: 'the others',
      headline: 'Resolved: c-$1 on 180: main cut 2.0 points below expected',
      about: 'c-$1 on 180',
    } as FindingRow;
    const told = aboutStore(finding);
    expect(told.cutter).toBe('');
    expect(told.headline).toBe(
      'Resolved: Store s2 (one cutter, so that person and room cannot be told apart) on 180: main cut 2.0 points below expected',
    );
    expect(told.headline).not.toContain('c-$1');
    expect(told.about).toBe('Store s2 (one cutter, so that person and room cannot be told apart) on 180');
    expect(told.findingId).not.toBe('x');
    expect(told.comparedWith).toContain('cannot be told apart');
  });
});
