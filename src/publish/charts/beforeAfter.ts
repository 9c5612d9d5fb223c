import type { TopLevelSpec } from 'vega-lite';
import { type ChartSize, chartBase, colors, plotWidth } from './chartConfig.ts';

/** The same row before and after a change, each with its interval. */
export type BeforeAfterRow = {
  label: string;
  when: 'before' | 'after';
  value: number;
  low: number;
  high: number;
};

/** Did it change: hollow dot and thin line before, filled dot and thick line after, joined by nothing that could mislead. */
export const beforeAfter = (
  rows: readonly BeforeAfterRow[],
  about: { xTitle: string },
  size: ChartSize,
): TopLevelSpec => {
  const isNarrow = size === 'narrow';
  const y = {
    field: 'label',
    type: 'nominal',
    sort: null,
    title: null,
    axis: isNarrow ? null : { grid: false, labelColor: colors.ink },
  };
  const yOffset = {
    field: 'when',
    type: 'nominal',
    sort: ['before', 'after'],
    scale: { paddingOuter: isNarrow ? 0.9 : 0.5 },
  };
  const color = {
    field: 'when',
    type: 'nominal',
    title: null,
    scale: { domain: ['before', 'after'], range: [colors.calm, colors.main] },
    legend: { orient: 'top', symbolType: 'circle' },
  };
  const fill = {
    field: 'when',
    type: 'nominal',
    scale: { domain: ['before', 'after'], range: [colors.card, colors.main] },
    legend: { orient: 'top', symbolType: 'circle' },
    title: null,
  };
  const layer: object[] = [
    {
      data: { values: [{}] },
      mark: { type: 'rule', strokeDash: [4, 3], color: colors.soft },
      encoding: { x: { datum: 0, type: 'quantitative' }, y: { value: 0 }, y2: { value: 'height' } },
    },
    {
      mark: { type: 'rule', strokeCap: 'round' },
      encoding: {
        y,
        yOffset,
        x: { field: 'low', type: 'quantitative', title: about.xTitle, axis: { tickCount: isNarrow ? 4 : 7 } },
        x2: { field: 'high' },
        color,
        strokeWidth: { condition: { test: "datum.when === 'before'", value: 1.25 }, value: 2.5 },
      },
    },
    {
      mark: { type: 'point', size: 80, opacity: 1, strokeWidth: 2.5 },
      encoding: { y, yOffset, x: { field: 'value', type: 'quantitative' }, color, fill },
    },
  ];
  if (isNarrow)
    layer.push({
      transform: [{ filter: "datum.when === 'before'" }],
      mark: { type: 'text', align: 'left', dy: -20, limit: plotWidth.narrow },
      encoding: { y, x: { value: 0 }, text: { field: 'label' } },
    });
  return {
    ...chartBase,
    width: plotWidth[size],
    height: { step: isNarrow ? 66 : 48, for: 'position' },
    data: { name: 'rows', values: rows as BeforeAfterRow[] },
    layer,
  } as TopLevelSpec;
};
