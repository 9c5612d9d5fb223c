import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/catalog/chain.ts';
import { type Outcome, outcomes } from '../../src/catalog/outcomes.ts';
import { habitsOf } from '../../src/findings/cutterFindings.ts';
import type { EffectKind, EffectRow } from '../../src/model/modeled.ts';

const chain = (chance: number): Chain =>
  ({ thresholds: { effect_points: 1, money_per_week: 0, chance } }) as unknown as Chain;

/** All outcomes of one id by points moved, with the given chance beyond the threshold where anything moved. */
const moved = (
  id: string,
  points: Partial<Record<Outcome, number>>,
  { chanceBeyond, kind }: { chanceBeyond: number; kind: EffectKind },
): EffectRow[] =>
  outcomes.map((outcome) => {
    const effect = points[outcome] ?? 0;
    return {
      kind,
      id,
      store: 's-1',
      item: 'ribeye',
      outcome,
      tests: 20,
      testsNeeded: 0,
      testSd: 2,
      rawMean: effect,
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

/** One id that leaves 3 points of main cut on the trim. */
const overTrimmer = (id: string, chanceBeyond: number, kind: EffectKind = 'cutter-item'): EffectRow[] =>
  moved(id, { main_cut: -3, lean_trim: 3 }, { chanceBeyond, kind });

/** The kind named where weight moved between classes as given. */
const kindOf = (points: Partial<Record<Outcome, number>>): string[] =>
  habitsOf(moved('a', points, { chanceBeyond: 0.95, kind: 'cutter-item' }), chain(0.9)).map(
    ({ kind, on }) => `${kind} on ${on.outcome}`,
  );

describe('habits by where the weight goes', () => {
  it.each([
    ['main cut to lean trim', { main_cut: -3, lean_trim: 3 }, 'over-trimming on main_cut'],
    ['main cut to fat', { main_cut: -3, fat: 3, saleable: -3 }, 'over-trimming on main_cut'],
    ['main cut nowhere', { main_cut: -3, unaccounted: 3, saleable: -3 }, 'missing-product on unaccounted'],
    ['trim nowhere', { lean_trim: -3, unaccounted: 3, saleable: -3 }, 'unweighed-trim on unaccounted'],
    [
      'trim nowhere and main cut to fat',
      { main_cut: -1.5, fat: 1.5, lean_trim: -2.4, unaccounted: 2.4, saleable: -3.9 },
      'unweighed-trim on unaccounted',
    ],
    ['main cut to bone', { main_cut: -4, bone: 4, saleable: -4 }, 'left-elsewhere on main_cut'],
    ['main cut to another cut', { main_cut: -3, other_cut: 3 }, 'left-elsewhere on main_cut'],
    [
      'a little main cut and much fat to the trim tub',
      { main_cut: -1.6, fat: -2.6, lean_trim: 4.2, saleable: 2.6 },
      'fat-in-trim on lean_trim',
    ],
    ['fat left on the cut', { main_cut: 3, fat: -3, saleable: 3 }, 'under-trimming on main_cut'],
    ['fat in the trim tub', { lean_trim: 3, fat: -3, saleable: 3 }, 'fat-in-trim on lean_trim'],
    ['more out than in', { main_cut: 3, unaccounted: -3, saleable: 3 }, 'tare-question on unaccounted'],
    [
      'more out than in, and a little too much to the trim tub',
      { main_cut: 0.4, lean_trim: 0.4, fat: 0.5, unaccounted: -1.3, saleable: 0.8 },
      'tare-question on unaccounted',
    ],
  ])('%s', (_, points, kind) => {
    expect(kindOf(points)).toEqual([kind]);
  });
  it('no tray is asked for where less came out than went in: the others miss product', () => {
    const rows = moved(
      'a',
      { main_cut: 3, unaccounted: -3, saleable: 3 },
      { chanceBeyond: 0.95, kind: 'cutter-item' },
    ).map((row) => ({ ...row, rawMean: row.outcome === 'unaccounted' ? 0.45 : row.rawMean }));
    expect(habitsOf(rows, chain(0.9))).toEqual([]);
  });
  it.each([
    ['main cut to lean trim', { main_cut: -3, lean_trim: 3 }, ['room-habit on main_cut']],
    ['main cut nowhere', { main_cut: -1.8, unaccounted: 1.7, saleable: -1.8 }, ['loss-high on unaccounted']],
    ['trim nowhere', { lean_trim: -2, unaccounted: 2, saleable: -2 }, ['loss-high on unaccounted']],
    [
      'main cut to fat and a little nowhere',
      { main_cut: -4, fat: 2.5, unaccounted: 1.5, saleable: -4 },
      ['room-habit on main_cut'],
    ],
  ])('of a whole room: %s', (_, points, kind) => {
    const rows = moved('s-1', points, { chanceBeyond: 0.95, kind: 'store-item' });
    expect(habitsOf(rows, chain(0.9)).map((habit) => `${habit.kind} on ${habit.on.outcome}`)).toEqual(kind);
  });
  it('none where weight moves too little, or between classes without main cut', () => {
    expect(kindOf({ other_cut: -3, bone: 3, saleable: -3 })).toEqual([]);
    expect(kindOf({ main_cut: -0.9, fat: 0.9 })).toEqual([]);
  });
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
