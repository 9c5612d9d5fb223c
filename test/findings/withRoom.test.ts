import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/catalog/chain.ts';
import type { Habit } from '../../src/findings/cutterFindings.ts';
import { isOffWithRoom, openSplits, roomApart, roomsOf } from '../../src/findings/withRoom.ts';
import type { EffectRow } from '../../src/model/modeled.ts';

const chain = { thresholds: { effect_points: 1 } } as Chain;
const row = (over: Partial<EffectRow>): EffectRow =>
  ({ kind: 'cutter-item', id: 'c-1', store: 's-1', item: 'leg', outcome: 'main_cut', ...over }) as EffectRow;
const isOff = (person: Partial<EffectRow>, room: number): boolean =>
  isOffWithRoom(
    { on: row(person) } as Habit,
    roomsOf([row({ kind: 'store-item', id: 's-1', effect: room })]),
    chain,
  );

describe('a person beside the room', () => {
  it('is off where both together are beyond the threshold on the side of the habit', () => {
    expect(isOff({ effect: -2.5 }, 0)).toBe(true);
    expect(isOff({ effect: -2.5 }, 0.8)).toBe(true);
    expect(isOff({ effect: -2.5 }, -3)).toBe(true);
  });
  it('is not off who cuts as the chain does while the others of the room do not', () => {
    expect(isOff({ effect: -4 }, 3.8)).toBe(false);
    expect(isOff({ effect: 4 }, -3.2)).toBe(false);
  });
  it('is off without a room that is known; a room is no person', () => {
    expect(isOff({ effect: -2, store: 's-2' }, 3)).toBe(true);
    expect(isOff({ effect: -2, kind: 'store-item' }, 3)).toBe(true);
  });
});

describe('a room apart', () => {
  const open = (person: Partial<EffectRow>, room: number) => {
    const rows = [
      row({ status: 'ok', outcome: 'unaccounted', chanceBeyond: 0.6, sd: 0.8, differenceSd: 0.1, ...person }),
      row({ kind: 'store-item', id: 's-1', outcome: 'unaccounted', effect: room }),
    ];
    return openSplits(rows, roomsOf(rows), { thresholds: { effect_points: 1, chance: 0.9 } } as Chain);
  };
  it('is told where the two together are beyond the threshold and the tests do not say which of them', () => {
    expect(open({ effect: 1.3 }, 0.5)).toEqual([{ store: 's-1', item: 'leg', outcome: 'unaccounted' }]);
  });
  it('is not told of who is named, of little, of an unsure level, or of other classes', () => {
    expect(open({ effect: 1.7, chanceBeyond: 0.95 }, 0.1)).toEqual([]);
    expect(open({ effect: 0.4 }, 0.5)).toEqual([]);
    expect(open({ effect: 1.3, differenceSd: 0.7 }, 0.5)).toEqual([]);
    expect(open({ effect: 1.3, outcome: 'fat' }, 0.5)).toEqual([]);
  });
  it('names the class that shows it, main cut for what sells', () => {
    const apart = (outcome: EffectRow['outcome']): string =>
      roomApart({ on: row({ outcome }) } as Habit).outcome;
    expect(['unaccounted', 'saleable', 'lean_trim'].map((one) => apart(one as EffectRow['outcome']))).toEqual(
      ['unaccounted', 'main_cut', 'lean_trim'],
    );
  });
});
