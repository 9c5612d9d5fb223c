import { describe, expect, it } from 'vitest';
import { lastingLeft } from '../../../src/findings/change/lastingLeft.ts';
import type { PeopleTests } from '../../../src/findings/change/peopleTests.ts';
import type { StoreChange } from '../../../src/findings/change/storeChanges.ts';
import { type MadeTest, madePeople } from './timeSeries.ts';

const changeDay = 20200;
const sd = 1.9;

/** Two stores of three cutters, 20 tests each on one item, each at its own level; store 0 falls by 3 points on one day. */
const made = (level: (cutter: number, day: number) => number): PeopleTests =>
  madePeople(
    Array.from({ length: 6 }, (_, cutter) =>
      Array.from({ length: 20 }, (__, k): MadeTest => {
        const day = 20000 + 20 * k;
        return {
          store: `s-${Math.floor(cutter / 3)}`,
          cutter: `c-${cutter}`,
          item: '180',
          day,
          points: level(cutter, day),
        };
      }),
    ).flat(),
  );
const fallOf = (store: number, points: number): StoreChange => {
  const shift = { saleable: points / sd } as StoreChange['shift'];
  return { store, day: changeDay, shift } as StoreChange;
};
const nothing = { learning: undefined, stores: [], sinceOf: () => Number.NaN };
const meansOf = (people: PeopleTests, left: PeopleTests['left']): number[] =>
  people.ofCutter.map(
    (places) => places.reduce((sum, i) => sum + (left.saleable[i] as number), 0) / places.length,
  );

describe('the lasting level', () => {
  const levels = [0.2, -4, 0, 0.3, 0, -0.1];
  const people = made(
    (cutter, day) => (levels[cutter] as number) + (cutter < 3 && day >= changeDay ? -3 : 0),
  );

  it('is all that is left where nothing passes', () => {
    expect(lastingLeft(people, nothing)).toBe(people.left);
  });

  it.each([0, -1.5])(
    'is without the change of the store, of which the model took %d out already',
    (taken) => {
      const left = {
        ...people.left,
        saleable: people.left.saleable.map((value, i) =>
          people.store.codes[i] === 0 ? value - taken : value,
        ),
      };
      const found = meansOf(
        people,
        lastingLeft({ ...people, left }, { ...nothing, stores: [fallOf(0, -3)] }),
      );
      // the others' middle level, 0, is the room's own
      for (const [cutter, level] of levels.entries()) expect(found[cutter]).toBeCloseTo(level, 1);
    },
  );

  it('is without what beginners learn', () => {
    const learner = made((cutter, day) => (cutter === 1 ? -4 * 2 ** (-(day - 20000) / 60) : 0));
    const found = lastingLeft(learner, {
      ...nothing,
      learning: { size: { ...learner.left, saleable: -4 } as never, halfLife: 60, beginners: 2 },
      sinceOf: (cutter) => (cutter === 'c-1' ? 20000 : Number.NaN),
    });
    for (const mean of meansOf(learner, found)) expect(mean).toBeCloseTo(0, 9);
  });
});
