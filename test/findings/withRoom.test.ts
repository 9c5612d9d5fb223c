import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/catalog/chain.ts';
import type { Habit } from '../../src/findings/cutterFindings.ts';
import { isOffWithRoom, roomsOf } from '../../src/findings/withRoom.ts';
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
