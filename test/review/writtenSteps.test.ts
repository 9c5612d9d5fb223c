import { expect, it } from 'vitest';
import { writtenSteps } from '../../src/review/writtenSteps.ts';
import { kgPerLb } from '../../src/units/weight.ts';

/** Steps in pounds of sheets whose lines are given in pounds, on scales of a hundredth. */
const stepsLb = (...sheets: number[][]): number[] => {
  const lineStart = Int32Array.from([0, ...sheets.map((_, i) => sheets.slice(0, i + 1).flat().length)]);
  const lineKg = Float64Array.from(sheets.flat(), (lb) => lb * kgPerLb);
  const steps = writtenSteps(new Float64Array(sheets.length).fill(0.01 * kgPerLb), { lineStart, lineKg });
  return [...steps].map((kg) => Number((kg / kgPerLb).toFixed(4)));
};

it('reads the step of a sheet off its lines, where they hardly fall on it by accident', () => {
  expect(stepsLb([9.5, 1.25, 2, 1.5, 0.25], [9.52, 1.25, 2, 1.5, 0.25], [9.5, 1, 2, 1.5, 0.5])).toEqual([
    0.25, 0.01, 0.5,
  ]);
});

it('takes even last digits for an accident, and three lines on a quarter not', () => {
  expect(stepsLb([9.52, 1.26, 2.04, 1.58], [9.5, 1.25, 0.25], [9.5, 1.25])).toEqual([0.01, 0.25, 0.01]);
});

it('counts only what was weighed, and keeps the division of a sheet in another unit', () => {
  expect(stepsLb([9.5, 1.25, 0, 0.75], [9.5 / kgPerLb, 1.25 / kgPerLb, 2 / kgPerLb])).toEqual([0.25, 0.01]);
  expect(stepsLb([], [0, 0])).toEqual([0.01, 0.01]);
});
