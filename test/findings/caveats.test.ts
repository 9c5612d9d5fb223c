import { describe, expect, it } from 'vitest';
import { aloneOnItem, weightsFirst, withCaveats } from '../../src/findings/caveats.ts';
import type { FindingRow } from '../../src/findings/found.ts';
import { boughtTest } from './buying/boughtChain.ts';

const finding = (facts: Partial<FindingRow>): FindingRow =>
  ({
    cutter: 'a',
    item: '180',
    status: 'new',
    says: 'Seen.',
    headline: 'a on 180: seen.',
    ...facts,
  }) as FindingRow;

const used = (
  [
    ['s1', 'a', '180'],
    ['s1', 'b', '184'],
    ['s1', 'a', '184'],
    ['s2', 'c', '180'],
    ['s2', 'd', '180'],
    ['s3', 'd', '112A'],
  ] as const
).map(([store, cutter, item], i) => boughtTest({ testId: `t${i}`, store, cutter, item }));

describe('caveats', () => {
  it('send a reader to the question about the weights first, of the same cutter alone', () => {
    const caveat = weightsFirst([finding({ cutter: 'a', kind: 'weights-not-weighed' })]);
    const [asked, other] = withCaveats([finding({}), finding({ cutter: 'b' })], [caveat]);
    expect(asked?.says).toBe(
      'Seen. It rests on sheets whose weights are asked about: settle that question first.',
    );
    expect(asked?.headline).toContain('settle that question first');
    expect(other?.says).toBe('Seen.');
  });
  it('say where nobody else cuts the item, in no store of the cutter', () => {
    const caveat = aloneOnItem(used);
    expect(caveat(finding({}))).toContain('cannot be told apart');
    expect(caveat(finding({ item: '184' }))).toBe('');
    expect(caveat(finding({ cutter: 'd' }))).toBe('');
    expect(caveat(finding({ cutter: 'd', item: '112A' }))).toContain('cannot be told apart');
  });
  it('hold of a habit on several items only where they hold on each', () => {
    const caveat = aloneOnItem(used);
    expect(caveat(finding({ item: '', items: ['180', '184'] }))).toBe('');
    expect(caveat(finding({ item: '', items: ['180'] }))).toContain('cannot be told apart');
    expect(caveat(finding({ item: '' }))).toBe('');
  });
  it('are not said of what is over, nor of a store', () => {
    const all = [weightsFirst([finding({ cutter: '' }), finding({})]), aloneOnItem(used)];
    const over = finding({ status: 'resolved' });
    const ofStore = finding({ cutter: '' });
    expect(withCaveats([over, ofStore], all)).toEqual([over, ofStore]);
  });
});
