import type { TopLevelSpec } from 'vega-lite';
import { type ChartSize, chartBase, colors, plotWidth } from './chartConfig.ts';

/** One dot of a funnel: what was seen before shrinking, over how many tests; `label` only on the few dots outside. */
export type FunnelDot = { tests: number; difference: number; outside: boolean; label: string };
export type FunnelLimit = { tests: number; low: number; high: number };

/** Who lies outside what chance alone allows for so many tests: dots and the two limits that narrow with more tests. */
export const funnel = (
  dots: readonly FunnelDot[],
  limits: readonly FunnelLimit[],
  about: { yTitle: string },
  size: ChartSize,
): TopLevelSpec => {
  const x = {
    field: 'tests',
    type: 'quantitative',
    title: 'tests',
    scale: { zero: true },
    axis: { grid: false, tickCount: 5 },
  };
  const edge = (field: 'low' | 'high'): object => ({
    data: { name: 'limits', values: limits as FunnelLimit[] },
    mark: { type: 'line', color: colors.soft, strokeDash: [5, 4] },
    encoding: { x, y: { field, type: 'quantitative' } },
  });
  return {
    ...chartBase,
    width: plotWidth[size],
    height: size === 'wide' ? 260 : 220,
    data: { name: 'rows', values: dots as FunnelDot[] },
    layer: [
      edge('low'),
      edge('high'),
      {
        mark: { type: 'point', filled: true },
        encoding: {
          x,
          y: { field: 'difference', type: 'quantitative', title: about.yTitle, axis: { tickCount: 6 } },
          color: { condition: { test: 'datum.outside', value: colors.warn }, value: colors.calm },
          size: { condition: { test: 'datum.outside', value: 70 }, value: 26 },
          opacity: { condition: { test: 'datum.outside', value: 1 }, value: 0.85 },
        },
      },
      ...[-1, 1].flatMap((side) => nameOf(side, x)),
    ],
  } as TopLevelSpec;
};

/** The names of the dots above 0 (side 1) over them, of those below (-1) under them: away from the crowd, on a halo of the card's color. */
const nameOf = (side: number, x: object): object[] => {
  const text = { type: 'text', dy: -12 * side };
  const halo = { ...text, color: colors.card, stroke: colors.card, strokeWidth: 4 };
  return [halo, text].map((mark) => ({
    transform: [{ filter: `datum.label !== '' && datum.difference * ${side} > 0` }],
    mark,
    encoding: { x, y: { field: 'difference', type: 'quantitative' }, text: { field: 'label' } },
  }));
};
