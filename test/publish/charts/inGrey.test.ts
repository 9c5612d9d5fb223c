import * as vega from 'vega';
import { compile, type TopLevelSpec } from 'vega-lite';
import { describe, expect, it } from 'vitest';
import { beforeAfter } from '../../../src/publish/charts/beforeAfter.ts';
import { colors } from '../../../src/publish/charts/chartConfig.ts';
import { compositionStrip } from '../../../src/publish/charts/compositionStrip.ts';
import { controlChart } from '../../../src/publish/charts/controlChart.ts';
import { dotInterval } from '../../../src/publish/charts/dotInterval.ts';
import { funnel } from '../../../src/publish/charts/funnel.ts';
import { lineBand } from '../../../src/publish/charts/lineBand.ts';
import { quantileDots } from '../../../src/publish/charts/quantileDots.ts';
import { weightCurve } from '../../../src/publish/charts/weightCurve.ts';
import { contrast, mixed, themes } from './contrast.ts';

/** A mark as it is drawn. */
type Drawn = {
  type: string;
  fill?: string;
  stroke?: string;
  opacity?: number;
  size?: number;
  strokeDash?: number[];
  strokeWidth?: number;
  datum: Record<string, unknown>;
};
type Scene = { marktype?: string; role?: string; items?: (Scene & Omit<Drawn, 'type'>)[] };

const drawn = async (spec: TopLevelSpec): Promise<Drawn[]> => {
  const view = await new vega.View(vega.parse(compile(spec).spec), { renderer: 'none' }).runAsync();
  const found: Drawn[] = [];
  const walk = (scene: Scene): void => {
    for (const item of scene.items ?? [])
      if (scene.marktype === 'group') for (const inner of item.items ?? []) walk(inner);
      else if (scene.role === 'mark') found.push({ ...item, type: scene.marktype ?? '' });
  };
  walk({ marktype: 'group', items: [(view.scenegraph() as unknown as { root: Scene }).root as never] });
  walk((view.scenegraph() as unknown as { root: Scene }).root);
  return found;
};

const point = (at: number, outside = false) => ({ at: at * 864e5, value: at, outside });
const dots = [
  { label: 'clear', value: 2, low: 1, high: 3 },
  { label: 'calm', value: 0.5, low: -1, high: 2 },
];
const range = { name: '10-12', from: 10, to: 12, middle: 11, shaded: true };
const curve = ['Choice', 'Select'].flatMap((grade, i) =>
  [10, 11, 12].map((weight) => ({ weight, grade, value: 80 + i, low: 79 + i, high: 81 + i })),
);
const parts = [0, 1, 2, 3, 4, 5, 6].map((shade) => ({
  strip: 'this test',
  part: `class ${shade}`,
  start: shade * 14,
  end: shade * 14 + 14,
  middle: shade * 14 + 7,
  share: '14.0',
  value: 14,
  shade,
}));

const charts: Record<string, TopLevelSpec> = {
  dotInterval: dotInterval(dots, { xTitle: 'points', reference: 0 }, 'wide'),
  beforeAfter: beforeAfter(
    (['before', 'after'] as const).map((when) => ({ label: 'a', when, value: 1, low: 0, high: 2 })),
    { xTitle: 'points' },
    'wide',
  ),
  controlChart: controlChart(
    {
      points: [point(1), point(2), point(9, true)],
      spans: [{ from: 0, to: 9 * 864e5, middle: 1, low: 0, high: 2 }],
      marks: [{ at: 3 * 864e5, label: 'coached' }],
    },
    { yTitle: 'points' },
    'wide',
  ),
  funnel: funnel(
    [
      { tests: 5, difference: 0, outside: false, label: '' },
      { tests: 9, difference: 5, outside: true, label: 'a' },
    ],
    [5, 9].map((tests) => ({ tests, low: -1, high: 1 })),
    { yTitle: 'points' },
    'wide',
  ),
  lineBand: lineBand(
    ['Nov', 'Dec'].map((x) => ({ x, value: 1, low: 0, high: 2 })),
    { xTitle: 'month', yTitle: 'points', reference: 0 },
    'wide',
  ),
  quantileDots: quantileDots([{ bin: 1, level: 1 }], { xTitle: 'USD', width: 1, highest: 1 }, 'wide'),
  weightCurve: weightCurve(curve, [range], { unit: 'lb', yTitle: '%' }, 'wide'),
  compositionStrip: compositionStrip(parts, 'wide'),
};
const names = Object.keys(charts);

/** A drawn color in a theme: its token where it is one. */
const inTheme = (color: string, theme: Record<string, string>): string => {
  const token = Object.entries(colors).find(([, value]) => value === color)?.[0];
  return token === undefined ? color : (theme[token] as string);
};
const isColor = (color: string | undefined): color is string => color?.startsWith('#') === true;
const isText = ({ type }: Drawn): boolean => type === 'text';
/** Filled ground under the marks: known by its edges, which are marks too. */
const isGround = ({ type, fill, stroke }: Drawn): boolean =>
  type === 'area' && isColor(fill) && !isColor(stroke);

/** What tells a mark from another one without color. */
const signOf = ({ size, strokeDash, strokeWidth, fill, datum }: Drawn): string =>
  JSON.stringify([
    size,
    strokeDash,
    strokeWidth,
    fill === colors.card ? 'hollow' : 'full',
    // beside the dashed reference or across it; in the order of the legend
    Number(datum['low']) > 0 || Number(datum['high']) < 0,
    datum['start'],
  ]);

describe.each(themes)('a drawing in grey, %s', (_, theme) => {
  const card = theme['card'] as string;

  it.each(names)('has marks, or outlines of marks, at 3 to 1 on the card: %s', async (name) => {
    const marks = (await drawn(charts[name] as TopLevelSpec)).filter(
      (mark) => !isText(mark) && !isGround(mark),
    );
    expect(marks.length).toBeGreaterThan(0);
    for (const { fill, stroke, opacity = 1, type } of marks) {
      const shown = [stroke, fill]
        .filter(isColor)
        .map((color) => mixed(inTheme(color, theme), card, opacity));
      const best = Math.max(...shown.map((color) => contrast(color, card)));
      expect(best, `${type} ${shown.join(' ')}`).toBeGreaterThanOrEqual(3);
    }
  });

  it.each(names)('edges every ground below and above: %s', async (name) => {
    const marks = await drawn(charts[name] as TopLevelSpec);
    const grounds = new Set(marks.filter(isGround).map(({ datum }) => datum['grade'] ?? ''));
    const edges = marks.filter(({ type, strokeWidth = 0 }) => type === 'line' && strokeWidth < 1);
    for (const ground of grounds) {
      const own = edges.filter(({ datum }) => (datum['grade'] ?? '') === ground);
      const points = marks.filter((mark) => isGround(mark) && (mark.datum['grade'] ?? '') === ground);
      expect(own.length).toBe(2 * points.length);
    }
  });

  it.each(names)(
    'tells no class by color alone where colors differ by less than 3 to 1: %s',
    async (name) => {
      const marks = (await drawn(charts[name] as TopLevelSpec)).filter(
        (mark) => !isText(mark) && !isGround(mark),
      );
      const byType = [...new Set(marks.map(({ type }) => type))].map((type) =>
        marks.filter((mark) => mark.type === type),
      );
      for (const same of byType)
        for (const a of same)
          for (const b of same) {
            const [one, two] = [a, b].map(({ fill, stroke }) => [stroke, fill].find(isColor) ?? card) as [
              string,
              string,
            ];
            if (one === two || contrast(inTheme(one, theme), inTheme(two, theme)) >= 3) continue;
            expect(signOf(a), `${a.type}: ${one} and ${two}`).not.toBe(signOf(b));
          }
    },
  );
});
