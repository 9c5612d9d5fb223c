import type { TopLevelSpec } from 'vega-lite';
import { chartConfig, colors } from './chartConfig.ts';

export type DotRow = { label: string; value: number; low: number; high: number };

/** Dots with their intervals, one row a label in the order given; a rule marks `reference`. */
export const dotInterval = (
  rows: readonly DotRow[],
  about: { xTitle: string; reference: number },
): TopLevelSpec =>
  ({
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    width: 520,
    height: { step: 22 },
    config: chartConfig,
    data: { values: rows as DotRow[] },
    encoding: { y: { field: 'label', type: 'nominal', sort: null, title: null, axis: { grid: false } } },
    layer: [
      {
        mark: { type: 'rule', strokeDash: [4, 3], color: colors.calm },
        encoding: {
          x: { datum: about.reference, type: 'quantitative' },
          y: { value: 0 },
          y2: { value: { expr: 'height' } },
        },
      },
      {
        mark: { type: 'rule', strokeWidth: 2, color: colors.main, opacity: 0.55 },
        encoding: {
          x: { field: 'low', type: 'quantitative', title: about.xTitle, scale: { zero: false } },
          x2: { field: 'high' },
        },
      },
      {
        mark: { type: 'point', filled: true, size: 70, opacity: 1, color: colors.main },
        encoding: { x: { field: 'value', type: 'quantitative' } },
      },
    ],
  }) as TopLevelSpec;
