import { describe, expect, it } from 'vitest';
import type { LevelEstimate } from '../../src/model/levelEstimates.ts';
import type { FactorPosterior } from '../../src/model/mixed/mixtureEffects.ts';
import { otherSplits } from '../../src/model/otherSplits.ts';

/** Levels whose tests say `estimate` with variance .01, under a prior of outliers three in a hundred. */
const factor = (estimate: readonly number[], share: number): FactorPosterior => ({
  prior: { narrow: 0.01, wide: 4, share },
  shrinking: new Float64Array(estimate.length),
  mean: Float64Array.from(estimate),
  variance: new Float64Array(estimate.length).fill(0.01),
  estimate: Float64Array.from(estimate),
  noise: new Float64Array(estimate.length).fill(0.01),
});
const estimates = (mean: readonly number[]): LevelEstimate[] =>
  mean.map((value) => ({
    parts: [{ share: 1, mean: value, sd: 0.1 }],
    mean: value,
    sd: 0.1,
    difference: value,
    differenceSd: 0.1,
    reliability: 0.9,
    between: 0.01,
    within: 1,
  }));

/** A room found 2 off, of people who lie so far from it. */
const split = (people: readonly number[], room = 2) =>
  otherSplits(
    { people: estimates(people), rooms: estimates([room]) },
    [factor(people, 0.03), factor([room], 0.01)],
    [[...people.keys()]],
  );
const density = (x: number, share: number): number =>
  ((1 - share) * Math.exp((-0.5 * x * x) / 0.02)) / Math.sqrt(0.02) +
  (share * Math.exp((-0.5 * x * x) / 4.02)) / Math.sqrt(4.02);

describe('the other way to split what a room and its people have in common', () => {
  it('is as likely as the priors of all make it (hand: products of the densities of both ways)', () => {
    const found = split([0, 0, -2]);
    const fitted = density(0, 0.03) ** 2 * density(-2, 0.03) * density(2, 0.01);
    const other = density(2, 0.03) ** 2 * density(0, 0.03) * density(0, 0.01);
    const chance = other / (fitted + other);
    expect(chance).toBeGreaterThan(0.05);
    expect(found.people[0]?.mean).toBeCloseTo(2 * chance, 9);
    expect(found.people[2]?.mean).toBeCloseTo(-2 + 2 * chance, 9);
    expect(found.rooms[0]?.mean).toBeCloseTo(2 - 2 * chance, 9);
    for (const one of [...found.people, ...found.rooms])
      expect(one.parts.reduce((sum, part) => sum + part.share, 0)).toBeCloseTo(1, 12);
    expect(found.people[0]?.sd).toBeGreaterThan(0.4);
  });
  it('leaves the sum of room and person as it is', () => {
    for (const [l, person] of [0.1, 0, -2].entries()) {
      const found = split([0.1, 0, -2]);
      expect((found.people[l]?.mean as number) + (found.rooms[0]?.mean as number)).toBeCloseTo(person + 2, 9);
    }
  });
  it('is not thought of where all of a room share it, nor in a room like the many', () => {
    const shared = split([0, 0.05, -0.05, 0]);
    expect(shared.rooms[0]?.mean).toBeCloseTo(2, 2);
    const usual = split([0, 0.05, -2], 0.05);
    expect(usual.people[2]?.mean).toBe(-2);
  });
});
