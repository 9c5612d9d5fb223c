import type { TopLevelSpec } from 'vega-lite';
import { chartConfig, colors } from './chartConfig.ts';

export type BandRow = { x: number | string; value: number; low: number; high: number; series: string };

/** A line with its interval as a band over a number or a month; one color and dash a series. */
export const lineBand = (
  rows: readonly BandRow[],
  about: { xTitle: string; yTitle: string; xType: 'quantitative' | 'ordinal' },
): TopLevelSpec =>
  ({
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    width: 520,
    height: 220,
    config: chartConfig,
    data: { values: rows as BandRow[] },
    encoding: {
      x: {
        field: 'x',
        type: about.xType,
        title: about.xTitle,
        scale: about.xType === 'quantitative' ? { zero: false } : {},
        axis: { labelAngle: 0, labelOverlap: true, grid: false },
      },
      color: {
        field: 'series',
        type: 'nominal',
        title: null,
        scale: { range: [colors.main, colors.warn, colors.other, colors.calm] },
        legend: { orient: 'top', symbolType: 'stroke' },
      },
    },
    layer: [
      {
        mark: { type: 'area', opacity: 0.18 },
        encoding: {
          y: { field: 'low', type: 'quantitative', title: about.yTitle, scale: { zero: false } },
          y2: { field: 'high' },
        },
      },
      {
        mark: { type: 'line', strokeWidth: 2, point: { size: 36 } },
        encoding: {
          y: { field: 'value', type: 'quantitative' },
          strokeDash: { field: 'series', type: 'nominal', legend: null },
        },
      },
    ],
  }) as TopLevelSpec;
