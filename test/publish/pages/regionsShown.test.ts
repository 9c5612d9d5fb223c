import { describe, expect, it } from 'vitest';
import type { Chain } from '../../../src/catalog/chain.ts';
import { regionsShown } from '../../../src/publish/pages/trendView.ts';

const chain = { privacy: { minimum_group: 5, names: false, key_file: '' } } as Chain;
const store = (region: string, cutters: number) => ({
  store: `${region}-${cutters}`,
  name: '',
  region,
  lastTest: '',
  tests: 9,
  held: 0,
  cutters,
  silent: false,
  refusedFiles: 0,
  sentButRefused: false,
  lastSent: '',
  sentButOld: false,
});

describe('regions that may be shown', () => {
  it('shows all when each has enough cutters over its stores', () => {
    expect(
      [...regionsShown({ chain, stores: [store('A', 3), store('A', 2), store('B', 8)] })].sort(),
    ).toEqual(['A', 'B']);
  });
  it('leaves out the next smallest too when one alone is too small, so that it cannot be had by subtraction', () => {
    expect([...regionsShown({ chain, stores: [store('A', 2), store('B', 6), store('C', 9)] })]).toEqual([
      'C',
    ]);
  });
  it('needs no partner when two are too small', () => {
    expect([...regionsShown({ chain, stores: [store('A', 2), store('B', 3), store('C', 9)] })]).toEqual([
      'C',
    ]);
  });
});
