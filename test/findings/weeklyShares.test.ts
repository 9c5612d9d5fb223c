import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { weeklyShares } from '../../src/findings/weeklyShares.ts';
import type { MeasuredTest } from '../../src/measure/measured.ts';

const asOfDay = 1000;
const test = (store: string, cutter: string, drainedKg = 6, item = '112A'): MeasuredTest =>
  ({ store, cutter, item, drainedKg, region: store < 's2' ? 'North' : 'South' }) as MeasuredTest;
const volume = (store: string, weightKg: number, weekOf = asOfDay - 7, item = '112A') => ({
  store,
  item,
  weekOf,
  weightKg,
});

describe('weeklyShares', () => {
  it("gives each cutter the store's volume by the share of its tests", () => {
    const shares = weeklyShares(
      [test('s1', 'a'), test('s1', 'a'), test('s1', 'a'), test('s1', 'b'), test('s2', 'a')],
      [volume('s1', 100), volume('s1', 140, asOfDay - 14), volume('s2', 50)],
      asOfDay,
    );
    expect(shares.stores.get('s1\u0000112A')?.kgPerWeek).toBe(120);
    expect(shares.cutters.get('a\u0000112A')).toEqual([
      { store: 's1', region: 'North', kgPerWeek: 90, kgSeen: 18 },
      { store: 's2', region: 'South', kgPerWeek: 50, kgSeen: 6 },
    ]);
    expect(shares.cutters.get('b\u0000112A')?.[0]?.kgPerWeek).toBe(30);
  });

  it('counts the last 13 weeks only, none to come, and knows no volume where none was sent', () => {
    const weeks = [
      volume('s1', 10, asOfDay + 1),
      volume('s1', 20, asOfDay - 91),
      volume('s1', 30, asOfDay - 90),
    ];
    const shares = weeklyShares([test('s1', 'a'), test('s3', 'c')], weeks, asOfDay);
    expect(shares.stores.get('s1\u0000112A')?.kgPerWeek).toBe(30);
    expect(shares.stores.get('s3\u0000112A')?.kgPerWeek).toBeNaN();
    expect(shares.cutters.get('c\u0000112A')?.[0]?.kgSeen).toBe(6);
  });

  it('adds cutters up to the store, whoever cut how often', () => {
    const tests = fc.array(fc.tuple(fc.constantFrom('s1', 's2'), fc.constantFrom('a', 'b', 'c', 'd')), {
      minLength: 1,
      maxLength: 40,
    });
    fc.assert(
      fc.property(tests, fc.integer({ min: 1, max: 500 }), (drawn, kg) => {
        const shares = weeklyShares(
          drawn.map(([store, cutter]) => test(store, cutter)),
          [volume('s1', kg), volume('s2', 2 * kg)],
          asOfDay,
        );
        for (const whole of shares.stores.values()) {
          const parts = [...shares.cutters.values()].flat().filter((share) => share.store === whole.store);
          const sum = (of: 'kgPerWeek' | 'kgSeen') => parts.reduce((total, share) => total + share[of], 0);
          expect(sum('kgPerWeek')).toBeCloseTo(whole.kgPerWeek, 8);
          expect(sum('kgSeen')).toBeCloseTo(whole.kgSeen, 8);
        }
      }),
    );
  });
});
