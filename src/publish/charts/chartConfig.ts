/**
 * Colors of the marks, one meaning each. All pass 3:1 on the light page and differ in lightness, so that they read in grey;
 * the stylesheet turns each into its token of the dark theme by its exact value.
 */
export const colors = {
  main: '#0b5c8f',
  warn: '#b4490f',
  other: '#7d3c6b',
  calm: '#767b84',
  ink: '#22252b',
  soft: '#565b65',
  grid: '#e2ddd3',
  band: '#c9dbe8',
  card: '#fffefc',
};

/** Order in which series take colors; dashes tell them apart without color. */
export const seriesColors = [colors.main, colors.warn, colors.other, colors.calm];

/** Width of a drawing: `wide` for a page's column, `narrow` for a phone or a half column. */
export type ChartSize = 'wide' | 'narrow';
export const plotWidth = { wide: 600, narrow: 250 };

/** The one look of all charts. */
const chartConfig = {
  background: 'transparent',
  font: 'system-ui, sans-serif',
  padding: 4,
  axis: {
    labelFontSize: 12,
    titleFontSize: 12,
    titleFontWeight: 'normal' as const,
    titlePadding: 8,
    labelColor: colors.soft,
    titleColor: colors.soft,
    gridColor: colors.grid,
    domain: false,
    ticks: false,
    labelPadding: 6,
    labelLimit: 320,
    // end labels stay at their ticks
    labelFlush: false,
  },
  text: { color: colors.ink, fontSize: 12 },
  legend: { labelFontSize: 12, labelColor: colors.soft, labelLimit: 240 },
  view: { stroke: null },
};

/** The part every spec begins with. */
export const chartBase = {
  $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
  config: chartConfig,
};
