import { describe, expect, it } from 'vitest';
import { fatCoverText } from '../../src/findings/fatCover.ts';
import { boughtTest } from './buying/boughtChain.ts';

const covers = (own: readonly number[], others: readonly number[]) => [
  ...own.map((fatCoverIn, i) => boughtTest({ testId: `a${i}`, cutter: 'a', fatCoverIn })),
  ...others.map((fatCoverIn, i) => boughtTest({ testId: `b${i}`, cutter: `b${i % 3}`, fatCoverIn })),
];
const usual = [0.2, 0.24, 0.2, 0.24, 0.2, 0.24, 0.2, 0.24];

describe('fat cover', () => {
  it('says so where the cutter leaves clearly more on', () => {
    expect(fatCoverText('a', covers([0.4, 0.44, 0.36, 0.4], usual), 'en-US')).toBe(
      'fat cover measured at 0.40 in over 4 tests, 0.22 in by the others',
    );
  });
  it('says so where it is surely no thicker, so that nobody looks for it there', () => {
    expect(fatCoverText('a', covers([0.2, 0.24, 0.22, 0.22], usual), 'en-US')).toBe(
      'fat cover measured at 0.22 in over 4 tests, 0.22 in by the others, so that it is not left on there',
    );
  });
  it('says nothing where neither is sure, or too few tests hold it', () => {
    expect(fatCoverText('a', covers([0.1, 0.5, 0.1, 0.2], usual), 'en-US')).toBe('');
    expect(fatCoverText('a', covers([0.4, 0.44, 0.36], usual), 'en-US')).toBe('');
    expect(fatCoverText('a', covers([0.4, 0.44, 0.36, 0.4], usual.slice(1)), 'en-US')).toBe('');
    expect(fatCoverText('a', [], 'en-US')).toBe('');
  });
});
