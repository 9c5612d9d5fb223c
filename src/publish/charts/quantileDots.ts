import type { TopLevelSpec } from 'vega-lite';
import { type ChartSize, chartBase, colors, plotWidth } from './chartConfig.ts';

/** One dot of a quantile dotplot: its column's middle and its place in the stack from 1. */
export type QuantileDot = { bin: number; level: number };

/** How much money may be at stake: 20 dots, each a chance of 1 in 20, stacked in even columns. */
export const quantileDots = (
  dots: readonly QuantileDot[],
  about: { xTitle: string; width: number; highest: number },
  size: ChartSize,
): TopLevelSpec => {
  const lows = dots.map((dot) => dot.bin);
  const first = lows.reduce((low, bin) => Math.min(low, bin), Number.POSITIVE_INFINITY);
  const last = lows.reduce((high, bin) => Math.max(high, bin), Number.NEGATIVE_INFINITY);
  const columns = Math.max(1, Math.round((last - first) / about.width) + 1);
  const step = Math.min(28, (plotWidth[size] - 20) / columns);
  return {
    ...chartBase,
    width: columns * step + 20,
    height: about.highest * step,
    data: { name: 'rows', values: dots as QuantileDot[] },
    mark: { type: 'circle', opacity: 1, color: colors.main, size: (step * 0.86) ** 2 },
    encoding: {
      x: {
        field: 'bin',
        type: 'quantitative',
        title: about.xTitle,
        scale: { domain: [first - about.width * 0.9, last + about.width * 0.9], nice: false },
        axis: { grid: false, tickCount: 4 },
      },
      y: {
        field: 'level',
        type: 'quantitative',
        scale: { domain: [0.5, about.highest + 0.5] },
        axis: null,
      },
    },
  } as TopLevelSpec;
};
