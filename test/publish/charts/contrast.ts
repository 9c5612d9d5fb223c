import { colors } from '../../../src/publish/charts/chartConfig.ts';
import { styleSheet } from '../../../src/publish/pages/styleSheet.ts';

export type Theme = Record<string, string>;

const channels = (hex: string): number[] => [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16));

/** Relative luminance (WCAG 2.2, definition of relative luminance): all that is left of a color in grey. */
const luminance = (hex: string): number => {
  const [red = 0, green = 0, blue = 0] = channels(hex).map((channel) => {
    const part = channel / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
};

/** Contrast of two colors, 1 to 21 (WCAG 2.2, definition of contrast ratio). */
export const contrast = (a: string, b: string): number => {
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number];
  return (light + 0.05) / (dark + 0.05);
};

/** A color as it looks over another one at an opacity of 0 to 1. */
export const mixed = (color: string, over: string, opacity: number): string => {
  const ground = channels(over);
  const parts = channels(color).map((part, i) =>
    Math.round(opacity * part + (1 - opacity) * (ground[i] as number)),
  );
  return `#${parts.map((part) => part.toString(16).padStart(2, '0')).join('')}`;
};

/** Tokens of the dark theme as the stylesheet writes them. */
const dark: Theme = Object.fromEntries(
  [
    ...(/prefers-color-scheme:dark\)\{:root\{([^}]*)\}/.exec(styleSheet)?.[1] ?? '').matchAll(
      /--c-(\w+):(#\w+);/g,
    ),
  ].map(([, name, value]) => [name as string, value as string]),
);

/** The tokens of both themes. */
export const themes: [string, Theme][] = [
  ['light', colors],
  ['dark', dark],
];
