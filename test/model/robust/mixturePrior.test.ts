import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chanceOfWide, effectiveVariance, fitMixturePrior } from '../../../src/model/robust/mixturePrior.ts';
import { mixtureQuantile } from '../../../src/model/robust/mixtureQuantile.ts';
import { normalCdf } from '../../../src/tables/normalDistribution.ts';

const prior = { narrow: 1, wide: 9, share: 0.1 };

describe('mixture prior', () => {
  it('gives the chance of the wide part by Bayes (hand: densities of N(0, 2) and N(0, 11) at 3)', () => {
    const density = (variance: number): number => Math.exp(-4.5 / variance) / Math.sqrt(variance);
    const wide = 0.1 * density(11);
    expect(chanceOfWide(3, 1, prior)).toBeCloseTo(wide / (wide + 0.9 * density(2)), 12);
  });
  it('shrinks as the mixture mean does, between the two parts', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -20, max: 20, noNaN: true }),
        fc.double({ min: 0.05, max: 9, noNaN: true }),
        (gap, noise) => {
          const variance = effectiveVariance(gap, noise, prior);
          const chance = chanceOfWide(gap, noise, prior);
          const kept = ((1 - chance) * 1) / (1 + noise) + (chance * 10) / (10 + noise);
          expect(variance / (variance + noise)).toBeCloseTo(kept, 9);
          expect(variance).toBeGreaterThanOrEqual(1);
          expect(variance).toBeLessThanOrEqual(10);
        },
      ),
    );
  });
  it('finds the spread where likelihood times SD is highest, so never none (Chung et al. 2013: a gamma(2) prior)', () => {
    const plain = { narrow: 1e-9, wide: 1, share: [0, 0] as const };
    const found = (estimate: number[], noise: number): number =>
      fitMixturePrior(
        { estimate: Float64Array.from(estimate), noise: new Float64Array(estimate.length).fill(noise) },
        { narrow: 1, wide: 1, share: 0 },
        plain,
      ).narrow;
    /** Log likelihood of N(0, variance + noise) and log SD. */
    const height = (variance: number, estimate: number[], noise: number): number =>
      estimate.reduce(
        (sum, gap) => sum - 0.5 * Math.log(variance + noise) - (0.5 * gap * gap) / (variance + noise),
        0.5 * Math.log(variance),
      );
    for (const [estimate, noise] of [
      [[2, -2, 1, -1, 3, -3], 0.5],
      [[0.5, -0.4, 0.3, -0.6, 0.2, 0.1], 1],
    ] as const) {
      const at = found([...estimate], noise);
      for (const other of [0.97 * at, 1.03 * at])
        expect(height(at, [...estimate], noise)).toBeGreaterThan(height(other, [...estimate], noise));
    }
    // the mean square, .25, is far below the noise: the likelihood alone is highest at 0
    expect(found([0.5, -0.5, 0.5, -0.5, 0.5, -0.5], 1)).toBeGreaterThan(0.05);
  });
  it('leaves the spread of many to the likelihood: the mean square less the noise', () => {
    const estimate = Float64Array.from({ length: 3000 }, (_, i) => [2, -2, 1, -1, 3, -3][i % 6] as number);
    const found = fitMixturePrior(
      { estimate, noise: new Float64Array(3000).fill(0.5) },
      { narrow: 1, wide: 1, share: 0 },
      { narrow: 1e-6, wide: 1, share: [0, 0] },
    );
    expect(found.narrow).toBeCloseTo(28 / 6 - 0.5, 2);
    expect(found.share).toBe(0);
  });
  it('stays a number for an effect that lies beyond all bounds, with and without a wide part', () => {
    for (const share of [0, 0.1]) {
      const found = fitMixturePrior(
        { estimate: Float64Array.of(0.1, -0.2, 500), noise: new Float64Array(3).fill(0.01) },
        { narrow: 0.1, wide: 1, share },
        { narrow: 1e-6, wide: 1, share: [share === 0 ? 0 : 0.01, share === 0 ? 0 : 0.5] },
      );
      expect(found.narrow).toBeGreaterThan(0);
      expect(found.wide).toBeGreaterThan(0);
      expect(found.share).toBeGreaterThanOrEqual(share === 0 ? 0 : 0.01);
    }
  });
});

describe('mixtureQuantile', () => {
  it('is the normal quantile for one part and inside the mixture for two', () => {
    expect(mixtureQuantile([{ share: 1, mean: 2, sd: 3 }], 0.975)).toBeCloseTo(2 + 3 * 1.959963984540054, 6);
    const median = mixtureQuantile(
      [
        { share: 0.5, mean: -1, sd: 1 },
        { share: 0.5, mean: 1, sd: 1 },
      ],
      0.5,
    );
    expect(median).toBeCloseTo(0, 8);
  });
  it('has the probability below it for any two normals, and lies on a point that holds it', () => {
    const mean = fc.double({ min: -5, max: 5, noNaN: true });
    const sd = fc.double({ min: 0.01, max: 5, noNaN: true });
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(mean, mean, sd, sd, share, (a, b, s, t, first) => {
        const parts = [
          { share: first, mean: a, sd: s },
          { share: 1 - first, mean: b, sd: t },
        ];
        for (const probability of [0.025, 0.5, 0.975]) {
          const x = mixtureQuantile(parts, probability);
          const below = parts.reduce(
            (sum, part) => sum + part.share * normalCdf((x - part.mean) / part.sd),
            0,
          );
          expect(below).toBeCloseTo(probability, 9);
        }
      }),
    );
    expect(
      mixtureQuantile(
        [
          { share: 0.9, mean: 1, sd: 0 },
          { share: 0.1, mean: 1, sd: 2 },
        ],
        0.3,
      ),
    ).toBeCloseTo(1, 9);
  });
});
