import type { CurvePoint, RangeBand } from '../charts/weightCurve.ts';
import { groups } from './groups.ts';
import type { PeopleFree } from './peopleFree.ts';

export type CurveFigure = {
  title: string;
  item: string;
  tests: number;
  points: CurvePoint[];
  ranges: RangeBand[];
};

const farOpen = 1000;

/** Yield over piece weight for each item and spec, in the chain's unit, with the ranges of the chain file cut to what was seen. */
export const curveFigures = (
  input: PeopleFree,
  called: (item: string) => string,
  unitKg: number,
): CurveFigure[] =>
  groups(input.curves, (row) => `${row.item}\u0000${row.spec}`).map(([, own]) => {
    const { item, spec } = own[0] as (typeof own)[number];
    const points = own.map((row) => ({
      weight: row.weightKg / unitKg,
      value: row.saleable * 100,
      low: row.low * 100,
      high: row.high * 100,
      grade: row.grade,
    }));
    return {
      title: [called(item), spec].filter((part) => part !== '').join(', '),
      item,
      tests: input.tests.filter((test) => test.item === item && test.spec === spec).length,
      points,
      ranges: rangesOf(input, { item, spec }, points),
    };
  });

const rangesOf = (
  input: PeopleFree,
  { item, spec }: { item: string; spec: string },
  points: readonly CurvePoint[],
): RangeBand[] => {
  const own = input.chain.items.filter((entry) => entry.item === item);
  const entry = own.find((one) => one.spec === spec) ?? own[0];
  const weights = points.map((point) => point.weight);
  const lowest = weights.reduce((low, weight) => Math.min(low, weight), Number.POSITIVE_INFINITY);
  const highest = weights.reduce((high, weight) => Math.max(high, weight), Number.NEGATIVE_INFINITY);
  return (entry?.weight_classes ?? [])
    .map((range, i) => {
      const from = Math.max(lowest, range.from);
      const to = Math.min(highest, Number.isFinite(range.to) ? range.to : farOpen);
      return { name: range.name, from, to, middle: (from + to) / 2, shaded: i % 2 === 0 };
    })
    .filter((range) => range.to > range.from);
};
