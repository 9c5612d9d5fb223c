import type { TopLevelSpec } from 'vega-lite';
import { type ChartSize, chartBase, colors, plotWidth } from './chartConfig.ts';

/** One stretch of a strip: share in per cent of drained weight from `start` to `end`; `shade` picks the fill. */
export type StripPart = {
  strip: string;
  part: string;
  start: number;
  end: number;
  middle: number;
  /** Written on the stretch; '' where it is too narrow. */
  share: string;
  /** The share itself, which may be negative where nothing is drawn. */
  value: number;
  /** Place of the class in the order of the trade, from 0. */
  shade: number;
};

/** Inks on dark and pale stretches: fills and inks stay as they are in the dark theme, outlines change. */
const [paleInk, darkInk] = ['#ffffff', '#22252c'];
const shades = ['#0a5a8c', '#4f89b0', '#8fb2cb', '#d9c7a3', '#a8a297', '#8a6f58', '#c98a63'];

/**
 * Where each pound went: one strip a row, stretches in the order of the trade (main cut first), share written on what is
 * wide enough. Two strips on one axis show actual under expected.
 */
export const compositionStrip = (parts: readonly StripPart[], size: ChartSize): TopLevelSpec => {
  const isNarrow = size === 'narrow';
  const y = {
    field: 'strip',
    type: 'nominal',
    sort: null,
    title: null,
    axis: isNarrow ? null : { grid: false, labelColor: colors.ink },
  };
  const legend = { orient: 'bottom', columns: isNarrow ? 2 : 4, symbolType: 'square', title: null };
  const layer: object[] = [
    {
      mark: { type: 'bar', height: 26, stroke: colors.soft, strokeWidth: 1 },
      encoding: {
        y,
        x: {
          field: 'start',
          type: 'quantitative',
          title: '% of drained weight',
          scale: { nice: false },
          axis: { grid: false, tickCount: 5 },
        },
        x2: { field: 'end' },
        color: { field: 'part', type: 'nominal', sort: null, scale: { range: shades }, legend },
      },
    },
    {
      mark: { type: 'text', fontSize: 11 },
      encoding: {
        y,
        x: { field: 'middle', type: 'quantitative' },
        text: { field: 'share' },
        color: { condition: { test: 'datum.shade < 1', value: paleInk }, value: darkInk },
      },
    },
  ];
  if (isNarrow)
    layer.push({
      transform: [{ filter: 'datum.start === 0 && datum.end > 0' }],
      mark: { type: 'text', align: 'left', dy: -22 },
      encoding: { y, x: { value: 0 }, text: { field: 'strip' } },
    });
  return {
    ...chartBase,
    width: plotWidth[size],
    height: { step: isNarrow ? 64 : 44 },
    data: { name: 'rows', values: parts as StripPart[] },
    layer,
  } as TopLevelSpec;
};
