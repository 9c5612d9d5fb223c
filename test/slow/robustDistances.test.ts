import { describe, expect, it } from 'vitest';
import { robustDistances } from '../../src/model/robust/robustDistances.ts';
import { chiSquaredQuantile } from '../../src/tables/gammaDistribution.ts';
import { seededNormals } from '../findings/change/seededNormals.ts';

describe('robust distances', () => {
  const draw = seededNormals(31);
  const normal = (n: number, p: number): Float64Array[] =>
    Array.from({ length: p }, () => Float64Array.from({ length: n }, draw));
  it('keep their chance of a false alarm also for few rows, where chi-squared does not', () => {
    for (const [n, runs] of [
      [60, 150],
      [200, 40],
    ] as const) {
      const counts = { ours: 0, chi: 0 };
      for (let run = 0; run < runs; run++) {
        const { squared, tail } = robustDistances(normal(n, 4));
        counts.ours += tail.filter((own) => own < 0.01).length;
        counts.chi += squared.filter((own) => own > chiSquaredQuantile(0.99, 4)).length;
      }
      expect(counts.ours / (n * runs)).toBeLessThan(0.015);
      expect(counts.ours / (n * runs)).toBeGreaterThan(0.003);
      expect(counts.chi).toBeGreaterThan(1.5 * counts.ours);
    }
  }, 120_000);
});
