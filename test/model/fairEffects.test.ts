import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Coded } from '../../src/model/cellFit.ts';
import { fairEffects } from '../../src/model/fairEffects.ts';

const coded = (codes: readonly number[]): Coded => ({
  codes: Int32Array.from(codes),
  levels: Math.max(...codes) + 1,
});
const alone = (n: number): Coded => coded(new Array(n).fill(0));
const effectsOf = (residual: readonly number[], cutter: Coded, store = alone(residual.length)) =>
  fairEffects(Float64Array.from(residual), new Float64Array(residual.length).fill(1.5), {
    people: { cutter, store, cutterItem: cutter, storeItem: store },
    item: alone(residual.length),
  });
const all = (found: ReturnType<typeof effectsOf>) => [
  ...found.cutter,
  ...found.store,
  ...found.cutterItem,
  ...found.storeItem,
];

describe('fair effects of a chain that has just begun', () => {
  it('of one cutter in one room are at 0, wide, and not to be compared: cutter and item cannot be told apart', () => {
    const found = effectsOf([-3, 0, 4], alone(3));
    expect(found.converged).toBe(true);
    expect(Math.abs((found.center[0] as number) - 1 / 3)).toBeLessThan(0.5);
    for (const one of all(found)) {
      expect(one.mean).toBeCloseTo(0, 9);
      expect(one.sd).toBeGreaterThan(0);
      expect(one.reliability).toBeCloseTo(0, 9);
    }
  });

  it('of two cutters in one room differ by what their tests say, shrunken; the room stays at 0', () => {
    const found = effectsOf([-3, -1, 1, 2, 3], coded([0, 0, 1, 1, 1]));
    const [a, b] = found.cutterItem;
    expect(found.converged).toBe(true);
    expect(a?.mean).toBeCloseTo(-(b?.mean as number), 9);
    expect(b?.mean).toBeGreaterThan(0.5);
    expect(b?.mean).toBeLessThan(2);
    expect(found.storeItem[0]?.mean).toBeCloseTo(0, 9);
  });

  it('of many cutters on one item settle: who is off is found though item and person cannot be told apart', () => {
    const shift = (cutter: number): number => (cutter % 12 === 5 ? -3 : 0);
    const tests = Array.from({ length: 14 * 40 }, (_, i) => i);
    const cutterOf = (i: number): number => i % 14;
    const noise = (i: number): number => 1.5 * Math.sin(12.9898 * (i + 1)) * Math.SQRT2;
    const found = effectsOf(
      tests.map((i) => shift(cutterOf(i)) + noise(i)),
      coded(tests.map(cutterOf)),
      coded(tests.map((i) => cutterOf(i) % 4)),
    );
    expect(found.converged).toBe(true);
    expect(found.cutterItem[5]?.mean).toBeLessThan(-2);
    expect(found.cutterItem[5]?.mean).toBeCloseTo(found.cutter[5]?.mean as number, 1);
  });

  it('are numbers with a spread for any few tests of any few people', () => {
    const tests = fc.array(fc.tuple(fc.double({ min: -9, max: 9, noNaN: true }), fc.nat(2)), {
      minLength: 1,
      maxLength: 8,
    });
    fc.assert(
      fc.property(tests, (list) => {
        const people = [...new Set(list.map(([, who]) => who))];
        const found = effectsOf(
          list.map(([value]) => value),
          coded(list.map(([, who]) => people.indexOf(who))),
        );
        for (const one of all(found)) {
          expect(Number.isFinite(one.mean)).toBe(true);
          expect(one.sd).toBeGreaterThan(0);
        }
      }),
    );
  });
});
