import { mean, sampleStandardDeviation } from 'simple-statistics';
import type { ClassOutcome } from '../../catalog/outcomes.ts';
import type { ControlData, ControlSpan } from '../charts/controlChart.ts';
import type { FullTest } from './trainerFacts.ts';

const msPerDay = 86_400_000;
const fewest = 3;
/** About 95 % of single tests lie within two standard deviations. */
const limit = 2;

type Point = { day: number; value: number };

/**
 * Points from expected of single tests over time, in stretches between coaching days, each with its middle and where about
 * 95 % of its tests lie. Stretches of fewer than 3 tests have no middle.
 */
export const testHistory = (
  tests: readonly FullTest[],
  outcome: ClassOutcome,
  coachedOn: readonly number[],
): ControlData => {
  const points = tests
    .map((test) => ({ day: test.cutDay, value: test.model[`residual_${outcome}`] * 100 }))
    .filter((point) => Number.isFinite(point.value));
  const bounds = [Number.NEGATIVE_INFINITY, ...coachedOn, Number.POSITIVE_INFINITY];
  const spans = bounds.slice(1).flatMap((end, i) => {
    const own = points.filter((point) => point.day > (bounds[i] as number) && point.day <= end);
    return spanOf(own);
  });
  return {
    points: points.map(({ day, value }) => {
      const span = spans.find((one) => day * msPerDay >= one.from && day * msPerDay <= one.to);
      return {
        at: day * msPerDay,
        value,
        outside: span !== undefined && (value < span.low || value > span.high),
      };
    }),
    spans,
    marks: coachedOn.map((day) => ({ at: day * msPerDay, label: 'coached' })),
  };
};

const spanOf = (points: readonly Point[]): ControlSpan[] => {
  if (points.length < fewest) return [];
  const values = points.map((point) => point.value);
  const [middle, sd] = [mean(values), sampleStandardDeviation(values)];
  return [
    {
      from: (points[0] as Point).day * msPerDay,
      to: (points.at(-1) as Point).day * msPerDay,
      middle,
      low: middle - limit * sd,
      high: middle + limit * sd,
    },
  ];
};
