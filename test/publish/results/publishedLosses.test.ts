import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LossRow } from '../../../src/findings/found.ts';
import { publishedLosses } from '../../../src/publish/results/publishedLosses.ts';

const minimumGroup = 5;
const loss = (store: string, item: string, moneyPerWeek: number, cutters: number): LossRow => ({
  region: store < 's3' ? 'North' : 'South',
  store,
  item,
  habit: 'over-trimming',
  moneyPerWeek,
  low: moneyPerWeek - 5,
  high: moneyPerWeek + 5,
  tests: 12,
  cutters,
  suppressed: cutters < minimumGroup,
});

describe('publishedLosses', () => {
  it('empties the figures of one small room and adds no sum that would give them away', () => {
    const rows = publishedLosses([loss('s1', '112A', 40, 8), loss('s2', '112A', 25, 2)], minimumGroup);
    expect(rows).toHaveLength(2);
    expect(rows[0]).toMatchObject({ store: 's1', moneyPerWeek: 40, tests: 12 });
    expect(rows[1]).toMatchObject({ store: 's2', suppressed: true, cutters: 2 });
    expect([rows[1]?.moneyPerWeek, rows[1]?.low, rows[1]?.high, rows[1]?.tests]).toEqual(
      Array(4).fill(Number.NaN),
    );
  });

  it('gives no sum of two small rooms: one of them could subtract itself', () => {
    const rows = publishedLosses([loss('s1', '112A', 40, 4), loss('s2', '112A', 25, 4)], minimumGroup);
    expect(rows.every((row) => Number.isNaN(row.moneyPerWeek))).toBe(true);
  });

  it('gives three small rooms together, without names, so that money still adds up', () => {
    const small = [loss('s1', '112A', 40, 2), loss('s2', '180', 25, 3), loss('s4', '112A', 10, 2)];
    const rows = publishedLosses([...small, loss('s5', '112A', 7, 9)], minimumGroup);
    expect(rows.at(-1)).toMatchObject({ region: '', store: '', item: '', moneyPerWeek: 75, cutters: 7 });
    const shown = rows.filter((row) => !Number.isNaN(row.moneyPerWeek));
    expect(shown.reduce((sum, row) => sum + row.moneyPerWeek, 0)).toBe(82);
  });

  it('leaves no small room to be found by differencing, whoever subtracts one known room', () => {
    const drawn = fc.array(
      fc.record({
        store: fc.integer({ min: 1, max: 8 }),
        item: fc.constantFrom('112A', '180', '184'),
        money: fc.integer({ min: 1, max: 400 }),
      }),
      { minLength: 1, maxLength: 20 },
    );
    const rooms = fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 8, maxLength: 8 });
    fc.assert(
      fc.property(drawn, rooms, (rows, cutters) => {
        const unique = [...new Map(rows.map((row) => [`${row.store} ${row.item}`, row])).values()];
        const losses = unique.map((row) =>
          loss(`s${row.store}`, row.item, row.money, cutters[row.store - 1] as number),
        );
        const shown = publishedLosses(losses, minimumGroup);
        for (const row of shown.filter((one) => one.store !== '' && one.suppressed))
          expect(row.moneyPerWeek).toBeNaN();
        const sums = shown.filter((row) => row.store === '');
        expect(sums.length).toBeLessThanOrEqual(1);
        const hidden = new Set(losses.filter((row) => row.suppressed).map((row) => row.store));
        if (sums[0] !== undefined) {
          expect(hidden.size - 1).toBeGreaterThanOrEqual(2);
          expect(sums[0].cutters).toBeGreaterThanOrEqual(minimumGroup);
        }
      }),
    );
  });
});
