import type { TopLevelSpec } from 'vega-lite';
import { type ChartSize, chartBase, colors, plotWidth } from './chartConfig.ts';

/** A share by week, in per cent: a dot a week with its line, from 0 up. Counts of all there is, so without an interval. */
export const shareByWeek = (
  rows: readonly { week: string; percent: number }[],
  yTitle: string,
  size: ChartSize,
): TopLevelSpec => {
  const x = {
    field: 'week',
    type: 'ordinal',
    sort: null,
    title: 'week up to',
    axis: { labelAngle: 0, labelOverlap: 'greedy', labelSeparation: 18, grid: false },
  };
  const y = { field: 'percent', type: 'quantitative', title: yTitle, axis: { tickCount: 4 } };
  return {
    ...chartBase,
    width: plotWidth[size],
    height: size === 'wide' ? 150 : 120,
    data: { name: 'rows', values: [...rows] },
    layer: [
      { mark: { type: 'line', strokeWidth: 2, color: colors.main }, encoding: { x, y } },
      { mark: { type: 'point', filled: true, size: 36, opacity: 1, color: colors.main }, encoding: { x, y } },
    ],
  } as TopLevelSpec;
};
