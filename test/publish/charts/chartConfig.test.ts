import { describe, expect, it } from 'vitest';
import { colors, seriesColors } from '../../../src/publish/charts/chartConfig.ts';
import { styleSheet } from '../../../src/publish/pages/styleSheet.ts';
import { contrast, themes } from './contrast.ts';

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
