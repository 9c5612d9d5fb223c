import { describe, expect, it } from 'vitest';
import type { TimeLevels } from '../../src/findings/change/timeLevels.ts';
import type { Habit } from '../../src/findings/cutterFindings.ts';
import type { FindingRow } from '../../src/findings/found.ts';
import { isOfScale, scaleFirst } from '../../src/findings/scaleFirst.ts';

/** Two stores of 10 tests; in both 2 points more go missing from the sixth on. */
const levels = {
  people: { store: { codes: Int32Array.from({ length: 20 }, (_, i) => i % 2), levels: ['s-1', 's-2'] } },
  stores: [0, 1].map((store) => ({
    store,
    size: { unaccounted: { shift: 2, sd: 0.2 } },
    after: new Int32Array(5),
  })),
} as unknown as TimeLevels;
const asked = [{ kind: 'scale-question', store: 's-1' }] as FindingRow[];
const loss = (id: string, effect: number, kind = 'loss-high'): Habit =>
  ({ kind, on: { id, effect } }) as unknown as Habit;

describe('a scale asked about first', () => {
  const scale = scaleFirst(levels, asked);
  it('explains what began to be missing that day, as far as the tests since then make it', () => {
    expect([...scale]).toEqual([['s-1', 1]]);
    expect(scaleFirst(levels, [])).toEqual(new Map());
  });
  it('leaves no loss of the room but what is beyond the threshold without it', () => {
    expect(isOfScale(loss('s-1', 1.6), scale, 1)).toBe(true);
    expect(isOfScale(loss('s-1', 2.1), scale, 1)).toBe(false);
    expect(isOfScale(loss('s-2', 1.6), scale, 1)).toBe(false);
    expect(isOfScale(loss('s-1', 1.6, 'room-habit'), scale, 1)).toBe(false);
  });
});
