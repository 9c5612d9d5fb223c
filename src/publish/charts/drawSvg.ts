import * as vega from 'vega';
import { compile, type TopLevelSpec } from 'vega-lite';
import { textWidth } from './textWidth.ts';

type TextItem = { text?: unknown; fontSize?: number };

type TextMetrics = { width: (item: TextItem, text?: unknown) => number };

// Vega asks this object, which its types leave out, for the width of every text it lays out.
(vega as unknown as { textMetrics: TextMetrics }).textMetrics.width = (item, text) =>
  textWidth(String(text ?? item.text ?? ''), item.fontSize ?? 11);

/**
 * A Vega-Lite spec drawn as SVG text at build; no canvas, no randomness. Scales down to its box by its viewBox. Specs must not
 * clip: clip paths are numbered by the process, which would change bytes from night to night.
 */
export const drawSvg = async (spec: TopLevelSpec): Promise<string> => {
  const view = new vega.View(vega.parse(compile(spec).spec), { renderer: 'none' });
  const svg = await view.toSVG();
  view.finalize();
  return svg
    .replace('<svg ', '<svg aria-hidden="true" focusable="false" ')
    .replaceAll(/ aria-(?:label|roledescription|hidden)="[^"]*"/g, (found) =>
      found.includes('hidden') ? found : '',
    )
    .replaceAll(/ role="[^"]*"/g, '');
};
