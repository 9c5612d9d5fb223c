import { describe, expect, it } from 'vitest';
import { sameWhateverTheSplit } from '../pipelines/chainFolder.ts';

describe('the intake of a night', () => {
  it('gives the same figures for 1,000 random orders and splits by whole tests', () => {
    const nights = sameWhateverTheSplit(1000);
    console.log(`${nights} orders and splits, the same figures each time`);
    expect(nights).toBe(1000);
  });
});
