import { parse, View } from 'vega';
import { compile, type TopLevelSpec } from 'vega-lite';

/**
 * A Vega-Lite spec drawn as SVG text at build; no canvas, no randomness. Scales down to its box by its viewBox. Specs must not
 * clip: clip paths are numbered by the process, which would change bytes from night to night.
 */
export const drawSvg = async (spec: TopLevelSpec): Promise<string> => {
  const view = new View(parse(compile(spec).spec), { renderer: 'none' });
  const svg = await view.toSVG();
  view.finalize();
  return svg
    .replace('<svg ', '<svg aria-hidden="true" focusable="false" ')
    .replaceAll(/ aria-(?:label|roledescription|hidden)="[^"]*"/g, (found) =>
      found.includes('hidden') ? found : '',
    )
    .replaceAll(/ role="[^"]*"/g, '');
};
