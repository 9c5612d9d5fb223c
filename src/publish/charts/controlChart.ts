import type { TopLevelSpec } from 'vega-lite';
import { type ChartSize, chartBase, colors, plotWidth } from './chartConfig.ts';

/** One point in time (ms since 1970-01-01 UTC); `outside` = beyond the limits. */
export type ControlPoint = { at: number; value: number; outside: boolean };
/** A stretch with one middle and its limits. */
export type ControlSpan = { from: number; to: number; middle: number; low: number; high: number };
/** A moment worth a mark: coaching, or a change found. */
export type ControlMark = { at: number; label: string };
export type ControlData = { points: ControlPoint[]; spans: ControlSpan[]; marks: ControlMark[] };

/** What happened over time: points, the middle and limits of each stretch, and moments marked by a labeled rule. */
export const controlChart = (
  { points, spans, marks }: ControlData,
  about: { yTitle: string },
  size: ChartSize,
): TopLevelSpec => {
  const time = { type: 'temporal', scale: { type: 'utc' } };
  const x = {
    field: 'at',
    ...time,
    title: null,
    axis: { grid: false, tickCount: size === 'wide' ? 6 : 3, format: '%b %Y' },
  };
  const span = { name: 'spans', values: spans };
  const mark = { name: 'marks', values: marks };
  return {
    ...chartBase,
    width: plotWidth[size],
    height: size === 'wide' ? 190 : 160,
    data: { name: 'rows', values: points },
    layer: [
      {
        data: { values: [{}] },
        mark: { type: 'rule', strokeDash: [4, 3], color: colors.soft },
        encoding: { y: { datum: 0, type: 'quantitative' } },
      },
      {
        data: span,
        mark: { type: 'rect', fill: colors.band, fillOpacity: 0.55, stroke: colors.calm, strokeWidth: 0.75 },
        encoding: {
          x: { field: 'from', ...time },
          x2: { field: 'to' },
          y: { field: 'low', type: 'quantitative', title: about.yTitle, axis: { tickCount: 5 } },
          y2: { field: 'high' },
        },
      },
      {
        data: span,
        mark: { type: 'rule', color: colors.main, strokeWidth: 2 },
        encoding: {
          x: { field: 'from', ...time },
          x2: { field: 'to' },
          y: { field: 'middle', type: 'quantitative' },
        },
      },
      {
        mark: { type: 'point', filled: true, opacity: 0.9 },
        encoding: {
          x,
          y: { field: 'value', type: 'quantitative' },
          color: { condition: { test: 'datum.outside', value: colors.warn }, value: colors.calm },
          size: { condition: { test: 'datum.outside', value: 60 }, value: 30 },
        },
      },
      {
        data: mark,
        mark: { type: 'rule', color: colors.other, strokeWidth: 2, strokeDash: [6, 3] },
        encoding: { x: { field: 'at', ...time } },
      },
      {
        data: mark,
        mark: { type: 'text', align: 'left', dx: 4, baseline: 'top', color: colors.other },
        encoding: { x: { field: 'at', ...time }, y: { value: 0 }, text: { field: 'label' } },
      },
    ],
  } as TopLevelSpec;
};
