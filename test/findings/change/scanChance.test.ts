import { describe, expect, test } from 'vitest';
import { scanChance } from '../../../src/findings/change/scanChance.ts';
import { seededNormals } from './seededNormals.ts';

const fewest = 4;

/** Largest |contrast| of a series over all places with at least `fewest` on either side, by its definition. */
const largestContrast = (values: readonly number[]): number => {
  let largest = 0;
  for (let at = fewest; at <= values.length - fewest; at++) {
    const mean = (own: readonly number[]): number => own.reduce((sum, value) => sum + value, 0) / own.length;
    const gap = mean(values.slice(at)) - mean(values.slice(0, at));
    largest = Math.max(largest, Math.abs(gap) / Math.sqrt(1 / at + 1 / (values.length - at)));
  }
  return largest;
};

describe('chance that the best place to cut a series shows this much by luck', () => {
  test.each([
    { tests: 20, z: 3 },
    { tests: 60, z: 3 },
  ])('as often as in simulated series of $tests values of one level', ({ tests, z }) => {
    const normal = seededNormals(tests);
    const series = 4000;
    let beyond = 0;
    for (let k = 0; k < series; k++)
      if (largestContrast(Array.from({ length: tests }, normal)) >= z) beyond++;
    const expected = scanChance(z, tests, fewest);
    const error = Math.sqrt((expected * (1 - expected)) / series);
    expect(Math.abs(beyond / series - expected)).toBeLessThan(3 * error + 0.1 * expected);
  });

  test('far more than the chance of one contrast alone, more so in a longer series, and never above 1', () => {
    expect(scanChance(3, 60, fewest)).toBeGreaterThan(10 * 0.0027);
    expect(scanChance(3, 150, fewest)).toBeGreaterThan(scanChance(3, 60, fewest));
    expect(scanChance(-3, 60, fewest)).toBe(scanChance(3, 60, fewest));
    expect(scanChance(1, 500, fewest)).toBeLessThanOrEqual(1);
    expect(scanChance(9, 7, fewest)).toBe(1);
  });
});
