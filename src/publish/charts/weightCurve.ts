import type { TopLevelSpec } from 'vega-lite';
import { type ChartSize, chartBase, colors, plotWidth, seriesColors } from './chartConfig.ts';

export type CurvePoint = { weight: number; value: number; low: number; high: number; grade: string };
/** A range the buyer can order, in the axis' unit, cut to what the axis shows. */
export type RangeBand = { name: string; from: number; to: number; middle: number; shaded: boolean };

/** How yield changes with piece weight: a line and its band for each grade, named at its end, over the ranges that can be ordered. */
export const weightCurve = (
  points: readonly CurvePoint[],
  ranges: readonly RangeBand[],
  about: { unit: string; yTitle: string },
  size: ChartSize,
): TopLevelSpec => {
  const x = {
    field: 'weight',
    type: 'quantitative',
    title: `piece weight, ${about.unit}`,
    scale: { zero: false, nice: false },
    axis: { grid: false, tickCount: 6 },
  };
  const y = {
    field: 'value',
    type: 'quantitative',
    title: about.yTitle,
    scale: { zero: false },
    axis: { tickCount: 5 },
  };
  const color = {
    field: 'grade',
    type: 'nominal',
    title: null,
    sort: null,
    scale: { range: seriesColors },
    legend: null,
  };
  const strokeDash = { field: 'grade', type: 'nominal', title: null, sort: null, legend: null };
  const heaviest = points.reduce((most, point) => Math.max(most, point.weight), Number.NEGATIVE_INFINITY);
  const range = { name: 'ranges', values: ranges as RangeBand[] };
  const edge = (field: 'low' | 'high'): object => ({
    mark: { type: 'line', strokeWidth: 0.75 },
    encoding: { x, y: { field, type: 'quantitative' }, color, strokeDash },
  });
  return {
    ...chartBase,
    width: plotWidth[size],
    height: size === 'wide' ? 220 : 190,
    data: { name: 'rows', values: points as CurvePoint[] },
    layer: [
      {
        data: range,
        transform: [{ filter: 'datum.shaded' }],
        mark: { type: 'rect', fill: colors.grid, fillOpacity: 0.5, stroke: colors.calm, strokeWidth: 0.5 },
        encoding: { x: { field: 'from', type: 'quantitative' }, x2: { field: 'to' } },
      },
      {
        data: range,
        mark: { type: 'text', baseline: 'top', color: colors.soft },
        encoding: { x: { field: 'middle', type: 'quantitative' }, y: { value: 4 }, text: { field: 'name' } },
      },
      {
        mark: { type: 'area', opacity: 0.18 },
        encoding: { x, y: { ...y, field: 'low' }, y2: { field: 'high' }, color },
      },
      edge('low'),
      edge('high'),
      {
        mark: { type: 'line', strokeWidth: 2 },
        encoding: {
          x,
          y,
          color,
          strokeDash,
        },
      },
      {
        data: { name: 'ends', values: points.filter((point) => point.weight === heaviest) },
        mark: { type: 'text', align: 'left', dx: 5, limit: 90 },
        encoding: { x, y, color, text: { field: 'grade' } },
      },
    ],
  } as TopLevelSpec;
};
