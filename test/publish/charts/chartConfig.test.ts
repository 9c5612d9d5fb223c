import { describe, expect, it } from 'vitest';
import { colors, seriesColors } from '../../../src/publish/charts/chartConfig.ts';
import { styleSheet } from '../../../src/publish/pages/styleSheet.ts';

type Theme = Record<string, string>;

/** Relative luminance (WCAG 2.2, definition of relative luminance): all that is left of a color in grey. */
const luminance = (hex: string): number => {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const part = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
};
const contrast = (a: string, b: string): number => {
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number];
  return (light + 0.05) / (dark + 0.05);
};

/** Tokens of the dark theme as the stylesheet writes them. */
const dark: Theme = Object.fromEntries(
  [
    ...(/prefers-color-scheme:dark\)\{:root\{([^}]*)\}/.exec(styleSheet)?.[1] ?? '').matchAll(
      /--c-(\w+):(#\w+);/g,
    ),
  ].map(([, name, value]) => [name as string, value as string]),
);
const themes: [string, Theme][] = [
  ['light', colors],
  ['dark', dark],
];

describe('colors of the marks', () => {
  it('knows black from white (WCAG: 21 to 1)', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
  });
  it.each(themes)('stand out from the card at 3 to 1, texts at 4.5 to 1, %s', (_, theme) => {
    const card = theme['card'] as string;
    for (const name of ['main', 'warn', 'other', 'calm'])
      expect(contrast(theme[name] as string, card)).toBeGreaterThan(3);
    for (const name of ['ink', 'soft']) expect(contrast(theme[name] as string, card)).toBeGreaterThan(4.5);
  });
  it.each(themes)('tell clear from calm in grey, %s', (_, theme) => {
    expect(contrast(theme['main'] as string, theme['calm'] as string)).toBeGreaterThan(1.3);
    expect(contrast(theme['warn'] as string, theme['calm'] as string)).toBeGreaterThan(1.2);
  });
  it('repaint every color of a drawing by its token, and no two colors are one', () => {
    for (const [name, value] of Object.entries(colors))
      expect(styleSheet).toContain(`[fill="${value}"]{fill:var(--c-${name})}`);
    expect(new Set(Object.values(colors)).size).toBe(Object.keys(colors).length);
    expect(new Set(seriesColors).size).toBe(seriesColors.length);
  });
});
