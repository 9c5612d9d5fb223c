import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/catalog/chain.ts';
import { outcomes } from '../../src/catalog/outcomes.ts';
import { habitsOf } from '../../src/findings/cutterFindings.ts';
import type { EffectKind, EffectRow } from '../../src/model/modeled.ts';

const chain = (chance: number): Chain =>
  ({ thresholds: { effect_points: 1, money_per_week: 0, chance } }) as unknown as Chain;

/** All outcomes of one id that leaves 3 points of main cut on the trim, with the given chance. */
const overTrimmer = (id: string, chanceBeyond: number, kind: EffectKind = 'cutter-item'): EffectRow[] =>
  outcomes.map((outcome) => {
    const effect = outcome === 'main_cut' ? -3 : outcome === 'lean_trim' ? 3 : 0;
    return {
      kind,
      id,
      store: 's-1',
      item: 'ribeye',
      outcome,
      tests: 20,
      testsNeeded: 0,
      rawMean: 0,
      expectedMean: 0,
      effect,
      sd: 0.5,
      low: effect - 1,
      high: effect + 1,
      reliability: 0.9,
      chanceBeyond: effect === 0 ? 0 : chanceBeyond,
      expectedRank: 1,
      rankLow: 1,
      rankHigh: 1,
      status: 'ok',
      difference: effect,
      differenceSd: 0.5,
    };
  });

describe('habits', () => {
  it('are named where the chance is reached', () => {
    const habits = habitsOf([...overTrimmer('a', 0.95), ...overTrimmer('b', 0.85)], chain(0.9));
    expect(habits.map(({ kind, on }) => [kind, on.id])).toEqual([['over-trimming', 'a']]);
  });
  it('are at most one in ten false in expectation, however low the chain sets its chance', () => {
    // doubts 0.02, 0.10 (mean 0.06), 0.30 (mean 0.14)
    const rows = [...overTrimmer('a', 0.7), ...overTrimmer('b', 0.98), ...overTrimmer('c', 0.9)];
    expect(habitsOf(rows, chain(0.6)).map(({ on }) => on.id)).toEqual(['b', 'c']);
  });
  it('count rooms apart from people', () => {
    const rows = [...overTrimmer('a', 0.99), ...overTrimmer('s-1', 0.7, 'store-item')];
    expect(habitsOf(rows, chain(0.6)).map(({ on }) => on.id)).toEqual(['a']);
    expect(habitsOf(overTrimmer('s-1', 0.93, 'store-item'), chain(0.9)).map(({ kind }) => kind)).toEqual([
      'room-habit',
    ]);
  });
});
