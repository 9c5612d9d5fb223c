import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/catalog/chain.ts';
import { fewPeople, type RoomApart } from '../../src/findings/fewPeople.ts';
import type { MeasuredTest } from '../../src/measure/measured.ts';
import type { EffectRow } from '../../src/model/modeled.ts';

const chain = {
  language: 'en-US',
  currency: 'USD',
  thresholds: { effect_points: 1, money_per_week: 0, chance: 0.9 },
} as Chain;

type Person = { id: string; effect: number; store?: string; tests?: number };

const judged = (people: readonly Person[], told: readonly string[] = [], roomsApart: RoomApart[] = []) => {
  const effects = people.map(
    ({ id, effect, store = 's-1', tests = 50 }) =>
      ({
        kind: 'cutter-item',
        id,
        store,
        item: 'leg',
        outcome: 'main_cut',
        tests,
        effect,
        differenceSd: 0.5,
      }) as EffectRow,
  );
  const used = people.flatMap(({ id, store = 's-1', tests = 50 }) =>
    Array.from(
      { length: tests },
      (_, k) => ({ store, cutter: id, item: 'leg', testId: `${id} ${k}`, cutDay: 100 + k }) as MeasuredTest,
    ),
  );
  return fewPeople(
    { chain, asOfDay: 200, used, effects, seenDayOf: () => 200 },
    { toldOn: new Set(told), roomsApart },
  );
};

describe('people-differ', () => {
  it('tells how far two people of a small shop lie apart, of the store and without a name', () => {
    const [told, ...more] = judged([
      { id: 'c-1', effect: 3 },
      { id: 'c-2', effect: -3 },
    ]);
    expect(more).toEqual([]);
    expect(told).toMatchObject({ kind: 'people-differ', store: 's-1', cutter: '', item: 'leg', tests: 100 });
    expect(told?.effect).toBe(6);
    expect(told?.headline).toMatch(/6\.0 points of main cut apart .* No person is meant/);
    expect(told?.headline).not.toMatch(/c-[12]/);
  });
  it.each([
    [
      'they are alike',
      [
        { id: 'a', effect: 0.7 },
        { id: 'b', effect: -0.7 },
      ],
      [],
    ],
    [
      'one has few tests',
      [
        { id: 'a', effect: 3 },
        { id: 'b', effect: -3, tests: 7 },
      ],
      [],
    ],
    [
      'they work in two stores',
      [
        { id: 'a', effect: 3 },
        { id: 'b', effect: -3, store: 's-2' },
      ],
      [],
    ],
    [
      'a habit is told on the item',
      [
        { id: 'a', effect: 3 },
        { id: 'b', effect: -3 },
      ],
      ['leg'],
    ],
    [
      'five people say what is usual',
      ['a', 'b', 'c', 'd', 'e'].map((id, k) => ({ id, effect: 3 - 1.5 * k })),
      [],
    ],
  ])('tells nothing where %s', (_, people, told) => {
    expect(judged(people, told)).toEqual([]);
  });
  it('tells of a room of a large chain where someone differs from the others but not from the chain, once', () => {
    const others = ['d', 'e', 'f'].map((id) => ({ id, effect: 0, store: 's-2' }));
    const room = [
      { id: 'a', effect: 0.1 },
      { id: 'b', effect: 0.2 },
      { id: 'c', effect: -4 },
    ];
    const found = judged(
      [...room, ...others],
      ['leg'],
      [
        { store: 's-1', item: 'leg', outcome: 'main_cut' },
        { store: 's-1', item: 'leg', outcome: 'main_cut' },
      ],
    );
    expect(found.map(({ kind, store, cutter }) => [kind, store, cutter])).toEqual([
      ['people-differ', 's-1', ''],
    ]);
  });
  it('says what they lie apart in, and of one item that in which they do most', () => {
    const of = (outcome: 'main_cut' | 'unaccounted', gap: number): EffectRow[] =>
      ['a', 'b'].map(
        (id, k) =>
          ({
            kind: 'cutter-item',
            id,
            store: 's-1',
            item: 'leg',
            outcome,
            tests: 50,
            effect: k * gap,
            differenceSd: 0.3,
          }) as EffectRow,
      );
    const found = fewPeople(
      {
        chain,
        asOfDay: 200,
        used: ['a', 'b', 'c', 'd', 'e'].map(
          (cutter) => ({ store: 's-1', cutter, item: 'leg', testId: cutter, cutDay: 150 }) as MeasuredTest,
        ),
        effects: [...of('main_cut', 2), ...of('unaccounted', 3)],
        seenDayOf: () => 200,
      },
      {
        toldOn: new Set(),
        roomsApart: [
          { store: 's-1', item: 'leg', outcome: 'main_cut' },
          { store: 's-1', item: 'leg', outcome: 'unaccounted' },
        ],
      },
    );
    expect(found.map(({ effect, outcome }) => [effect, outcome])).toEqual([[3, 'unaccounted']]);
    expect(found[0]?.headline).toContain('3.0 points of weight unaccounted for apart');
  });
});
