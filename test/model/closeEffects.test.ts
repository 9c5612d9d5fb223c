import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { outcomes } from '../../src/catalog/outcomes.ts';
import { closeEffects } from '../../src/model/closeEffects.ts';
import type { LevelEstimate } from '../../src/model/levelEstimates.ts';

const estimate = (mean: number, sd: number): LevelEstimate => ({
  parts: [{ share: 1, mean, sd }],
  mean,
  sd,
  difference: mean,
  differenceSd: sd,
  reliability: 0.8,
  between: 1,
  within: 1,
});
const prices = { main_cut: 30, other_cut: 18, lean_trim: 9, fat: 0.5 };
const sizes = fc.array(fc.double({ min: -6, max: 6, noNaN: true }), { minLength: 9, maxLength: 9 });
const spreads = fc.array(fc.double({ min: 0, max: 2, noNaN: true }), { minLength: 9, maxLength: 9 });

describe('closeEffects', () => {
  it('adds classes to 0, sold classes to saleable, and prices to value, to 1e-9', () => {
    fc.assert(
      fc.property(sizes, spreads, (means, sds) => {
        const given = means.map((mean, k) => estimate(mean, (sds[k] as number) + 0.01));
        const closed = closeEffects(given, { isSoldWhole: true, prices });
        const of = (name: (typeof outcomes)[number]): number =>
          (closed[outcomes.indexOf(name)] as LevelEstimate).mean;
        const sold = of('main_cut') + of('other_cut') + of('lean_trim');
        expect(sold + of('fat') + of('bone') + of('waste') + of('unaccounted')).toBeCloseTo(0, 9);
        expect(sold).toBeCloseTo(of('saleable'), 9);
        expect(of('value')).toBeCloseTo(
          30 * of('main_cut') + 18 * of('other_cut') + 9 * of('lean_trim') + 0.5 * of('fat'),
          9,
        );
        for (const own of closed) expect(own.parts[0]?.mean).toBeCloseTo(own.mean, 9);
      }),
    );
  });
  it('knows an estimate less well by what the others moved it, and one that all agree with as before', () => {
    const agreeing = outcomes.map((name) => estimate(name === 'main_cut' ? -2 : name === 'fat' ? 2 : 0, 0.5));
    for (const own of closeEffects(agreeing, { isSoldWhole: false, prices: {} }).slice(1, 8))
      expect(own.sd).toBe(0.5);
    const alone = outcomes.map((name) => estimate(name === 'main_cut' ? -2 : 0, 0.5));
    const main = closeEffects(alone, { isSoldWhole: false, prices: {} })[1] as LevelEstimate;
    expect(main.sd).toBeCloseTo(Math.hypot(0.5, main.mean + 2), 12);
    expect(main.parts[0]?.sd).toBeCloseTo(main.sd, 12);
    expect(main.sd).toBeGreaterThan(0.55);
  });
  it('leaves saleable alone where some lean trim does not count, and classes without spread where they are', () => {
    const given = outcomes.map((_, k) => estimate(k === 0 ? 2 : 1, k === 5 ? 0 : 1));
    const closed = closeEffects(given, { isSoldWhole: false, prices: {} });
    expect(closed[0]?.mean).toBe(2);
    expect(closed[5]?.mean).toBe(1);
    expect(closed.slice(1, 8).reduce((sum, own) => sum + own.mean, 0)).toBeCloseTo(0, 12);
  });
});
