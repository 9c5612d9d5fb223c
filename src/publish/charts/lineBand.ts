import type { TopLevelSpec } from 'vega-lite';
import { type ChartSize, chartBase, colors, plotWidth } from './chartConfig.ts';

export type BandRow = { x: string; value: number; low: number; high: number };
export type LineBandAbout = { xTitle: string; yTitle: string; domain?: [number, number]; reference: number };

/** A value and its interval over months: the line with its band, edged for paper and grey, around a dashed reference. `domain` shares an axis. */
export const lineBand = (rows: readonly BandRow[], about: LineBandAbout, size: ChartSize): TopLevelSpec => {
  const scale = about.domain === undefined ? { zero: false } : { domain: about.domain };
  const x = {
    field: 'x',
    type: 'ordinal',
    sort: null,
    title: about.xTitle,
    // clear of the lowest number of the other axis
    axis: { labelAngle: 0, labelOverlap: 'greedy', labelSeparation: 18, labelPadding: 8, grid: false },
  };
  const y = { field: 'value', type: 'quantitative' };
  const edge = (field: 'low' | 'high'): object => ({
    mark: { type: 'line', strokeWidth: 0.75, color: colors.calm },
    encoding: { x, y: { field, type: 'quantitative' } },
  });
  return {
    ...chartBase,
    width: plotWidth[size],
    height: size === 'wide' ? 170 : 120,
    data: { name: 'rows', values: rows as BandRow[] },
    layer: [
      {
        mark: { type: 'area', color: colors.band },
        encoding: {
          x,
          y: { field: 'low', type: 'quantitative', title: about.yTitle, scale, axis: { tickCount: 5 } },
          y2: { field: 'high' },
        },
      },
      edge('low'),
      edge('high'),
      {
        data: { values: [{}] },
        mark: { type: 'rule', strokeDash: [4, 3], color: colors.soft },
        encoding: { y: { datum: about.reference, type: 'quantitative' } },
      },
      { mark: { type: 'line', strokeWidth: 2, color: colors.main }, encoding: { x, y } },
      { mark: { type: 'point', filled: true, size: 36, opacity: 1, color: colors.main }, encoding: { x, y } },
    ],
  } as TopLevelSpec;
};
