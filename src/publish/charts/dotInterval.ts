import type { TopLevelSpec } from 'vega-lite';
import { type ChartSize, chartBase, colors, plotWidth } from './chartConfig.ts';

/** One row of a dot-and-interval chart. */
export type DotRow = { label: string; value: number; low: number; high: number };
export type DotAbout = { xTitle: string; reference: number; dense?: boolean };

/** Labels up to this length stand beside their lines on narrow drawings too. */
const shortLabel = 10;

/**
 * Where each value lies and how sure we are: dots on lines, one row a label in the order given, a dashed rule at
 * `reference`. Rows whose interval leaves the reference out are filled and dark, the others hollow and calm. On narrow
 * drawings a long label stands above its line. `dense` draws a caterpillar of many rows.
 */
export const dotInterval = (rows: readonly DotRow[], about: DotAbout, size: ChartSize): TopLevelSpec => {
  const isNarrow = size === 'narrow';
  const isAbove = isNarrow && !(rows.length > 0 && rows.every((row) => row.label.length <= shortLabel));
  const step = (about.dense === true ? 17 : 26) + (isAbove ? 14 : 0);
  const y = {
    field: 'label',
    type: 'nominal',
    sort: null,
    title: null,
    scale: { padding: 0.2 },
    axis: isAbove ? null : { grid: false, labelColor: colors.ink },
  };
  const shift = isAbove ? { yOffset: 7 } : {};
  const clear = `datum.low > ${about.reference} || datum.high < ${about.reference}`;
  const color = { condition: { test: clear, value: colors.main }, value: colors.calm };
  const x = { field: 'value', type: 'quantitative' };
  const layer: object[] = [
    {
      data: { values: [{}] },
      mark: { type: 'rule', strokeDash: [4, 3], color: colors.soft },
      encoding: {
        x: { datum: about.reference, type: 'quantitative' },
        y: { value: 0 },
        y2: { value: 'height' },
      },
    },
    {
      mark: { type: 'rule', strokeWidth: 2.5, strokeCap: 'round', ...shift },
      encoding: {
        y,
        x: {
          field: 'low',
          type: 'quantitative',
          title: about.xTitle,
          scale: { zero: false, nice: true },
          axis: { tickCount: isNarrow ? 4 : 7 },
        },
        x2: { field: 'high' },
        color,
      },
    },
    {
      mark: { type: 'point', filled: true, size: about.dense === true ? 46 : 80, opacity: 1, ...shift },
      encoding: { y, x, color },
    },
  ];
  if (isAbove)
    layer.push({
      mark: { type: 'text', align: 'left', dy: -9, limit: plotWidth.narrow },
      encoding: { y, x: { value: 0 }, text: { field: 'label' } },
    });
  return {
    ...chartBase,
    width: plotWidth[size],
    height: { step },
    data: { name: 'rows', values: rows as DotRow[] },
    layer,
  } as TopLevelSpec;
};
