import { describe, expect, it } from 'vitest';
import { beforeAfter } from '../../../src/publish/charts/beforeAfter.ts';
import { browserCharts } from '../../../src/publish/charts/browserCharts.ts';
import { plotWidth } from '../../../src/publish/charts/chartConfig.ts';
import { compositionStrip } from '../../../src/publish/charts/compositionStrip.ts';
import { controlChart } from '../../../src/publish/charts/controlChart.ts';
import { dotInterval } from '../../../src/publish/charts/dotInterval.ts';
import { drawSvg } from '../../../src/publish/charts/drawSvg.ts';
import { funnel } from '../../../src/publish/charts/funnel.ts';
import { lineBand } from '../../../src/publish/charts/lineBand.ts';
import { quantileDots } from '../../../src/publish/charts/quantileDots.ts';
import { weightCurve } from '../../../src/publish/charts/weightCurve.ts';

const interval = { value: 2, low: 1, high: 3 };
const hostile = '<script>alert(1)</script>"&';
const charts = {
  dots: dotInterval([{ label: hostile, ...interval }], { xTitle: hostile, reference: 0 }, 'wide'),
  dotsNarrow: dotInterval([{ label: hostile, ...interval }], { xTitle: hostile, reference: 0 }, 'narrow'),
  grouped: dotInterval(
    [
      { group: 'Region', label: hostile, ...interval },
      { group: 'Store', label: hostile, ...interval },
    ],
    { xTitle: 'x', reference: 0 },
    'wide',
  ),
  groupedNarrow: dotInterval(
    [{ group: hostile, label: hostile, ...interval }],
    { xTitle: 'x', reference: 0 },
    'narrow',
  ),
  line: lineBand([{ x: '2026-01', ...interval }], { xTitle: 'month', yTitle: hostile, reference: 0 }, 'wide'),
  quantiles: quantileDots([{ bin: 5, level: 1 }], { xTitle: hostile, width: 10, highest: 1 }, 'wide'),
  strip: compositionStrip(
    [{ strip: hostile, part: hostile, start: 0, end: 50, middle: 25, share: '50', value: 50, shade: 0 }],
    'wide',
  ),
  funnel: funnel(
    [{ tests: 3, difference: 1, outside: true, label: hostile }],
    [
      { tests: 1, low: -2, high: 2 },
      { tests: 4, low: -1, high: 1 },
    ],
    { yTitle: hostile },
    'wide',
  ),
  curve: weightCurve(
    [
      { weight: 10, grade: hostile, ...interval },
      { weight: 12, grade: hostile, ...interval },
    ],
    [{ name: hostile, from: 10, to: 12, middle: 11, shaded: true }],
    { unit: 'lb', yTitle: '%' },
    'wide',
  ),
  change: beforeAfter([{ label: hostile, when: 'before', ...interval }], { xTitle: 'points' }, 'narrow'),
  control: controlChart(
    {
      points: [{ at: 0, value: 1, outside: false }],
      spans: [{ from: 0, to: 9e8, middle: 1, low: 0, high: 2 }],
      marks: [{ at: 5e8, label: hostile }],
    },
    { yTitle: 'points' },
    'wide',
  ),
};

describe('charts', () => {
  it.each(Object.entries(charts))(
    '%s draws the same bytes twice, without scripts, styles or clip paths',
    async (_, spec) => {
      const svg = await drawSvg(spec);
      expect(svg).toBe(await drawSvg(spec));
      expect(svg).not.toMatch(/<script|style=|clip-path="url|NaN|undefined/);
      expect(svg).toContain('&lt;script&gt;');
    },
  );
  it('keeps the numbers it was given: dot and interval ends stand where the scale puts them', async () => {
    const svg = await drawSvg(
      dotInterval(
        [
          { label: 'a', value: 0, low: 0, high: 10 },
          { label: 'b', value: 10, low: 0, high: 10 },
        ],
        { xTitle: 'x', reference: 0 },
        'wide',
      ),
    );
    const dots = [...svg.matchAll(/<path transform="translate\((\d+\.?\d*),/g)].map((found) =>
      Number(found[1]),
    );
    expect(dots).toEqual([0, plotWidth.wide]);
  });
  it('stands rows of one group under its name, in the order given', async () => {
    const svg = await drawSvg(charts.grouped);
    const texts = [...svg.matchAll(/<text[^>]*>([^<]*)<\/text>/g)].map((found) => found[1]);
    expect(texts.filter((text) => text === 'Region' || text === 'Store')).toEqual(['Region', 'Store']);
    expect(svg).toContain('font-weight="bold"');
    expect(svg).not.toContain('\u0001');
  });
  it('hands the browser charts that are the same every time and need no parser', () => {
    expect(JSON.stringify(browserCharts())).toBe(JSON.stringify(browserCharts()));
    expect(Object.keys(browserCharts())).toEqual(['classes', 'strip', 'history']);
  });
});
