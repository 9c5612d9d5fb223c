import { describe, expect, it } from 'vitest';
import { chanceAbove, levelPosterior, levelPrior } from '../../../src/findings/change/levelPrior.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';

const draws = seededDraws(5, 2);

describe('prior of levels', () => {
  it('finds the many and the few', () => {
    const levels = Array.from({ length: 600 }, () => (draws.chance(0.1) ? 4 : 0.8) * draws.normal());
    const prior = levelPrior(
      levels.map((level) => level + 0.5 * draws.normal()),
      levels.map(() => 0.25),
    );
    expect(Math.sqrt(prior.narrow)).toBeGreaterThan(0.65);
    expect(Math.sqrt(prior.narrow)).toBeLessThan(0.95);
    expect(prior.share).toBeGreaterThan(0.04);
    expect(prior.share).toBeLessThan(0.2);
  });

  it('stays above 0 where all levels are equal, and takes few people', () => {
    expect(levelPrior([0, 0, 0], [1, 1, 1]).narrow).toBeGreaterThan(0);
    expect(levelPrior([], []).narrow).toBeGreaterThan(0);
    expect(levelPrior(new Array<number>(20).fill(0), new Array<number>(20).fill(1)).narrow).toBeGreaterThan(
      0,
    );
  });
});

describe('posterior of a level', () => {
  it('is the textbook shrunken mean with one part', () => {
    const { mean, sd } = levelPosterior(-3, 1, { narrow: 1, wide: 0, share: 0 });
    expect(mean).toBeCloseTo(-1.5, 12);
    expect(sd).toBeCloseTo(Math.SQRT1_2, 12);
  });

  it('shrinks luck, not a habit', () => {
    const prior = { narrow: 0.5, wide: 15, share: 0.1 };
    expect(levelPosterior(-1, 0.5, prior).mean).toBeGreaterThan(-0.6);
    expect(levelPosterior(-5, 0.5, prior).mean).toBeLessThan(-4.5);
  });

  it('is the prior where nothing is seen', () => {
    const nothing = levelPosterior(0, Number.POSITIVE_INFINITY, { narrow: 1, wide: 3, share: 0.25 });
    expect(nothing.mean).toBe(0);
    expect(nothing.sd).toBeCloseTo(Math.sqrt(0.75 + 0.25 * 4), 12);
    expect(chanceAbove(nothing, { mean: 0, variance: 1 }, 0)).toBeCloseTo(0.5, 12);
  });
});

describe('regression to the mean', () => {
  it('is what Davis 1976 (Am. J. Epidemiol. 104:493) expects of those picked below a limit', () => {
    // mean before = -s C, expected after with no effect = -R s C; s^2 = sb^2 + sw^2 / n, C = phi(z) / Phi(z)
    const [between, within] = [1, 1];
    const picked: { before: number; told: number }[] = [];
    while (picked.length < 4000) {
      const level = Math.sqrt(between) * draws.normal();
      const before = level + Math.sqrt(within) * draws.normal();
      if (before < -1.5)
        picked.push({
          before,
          told: levelPosterior(before, within, { narrow: between, wide: 0, share: 0 }).mean,
        });
    }
    const mean = (pick: (one: (typeof picked)[number]) => number): number =>
      picked.reduce((sum, one) => sum + pick(one), 0) / picked.length;
    const s = Math.sqrt(between + within);
    const z = -1.5 / s;
    const c = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI) / 0.14442;
    expect(mean(({ before }) => before)).toBeCloseTo(-s * c, 1);
    expect(mean(({ told }) => told)).toBeCloseTo((-between / (between + within)) * s * c, 1);
  });
});
