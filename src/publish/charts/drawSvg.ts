import { parse, View } from 'vega';
import { compile, type TopLevelSpec } from 'vega-lite';

/** A Vega-Lite spec drawn as SVG text at build; no canvas, no randomness. Scales to its box by its viewBox. */
export const drawSvg = async (spec: TopLevelSpec): Promise<string> => {
  const view = new View(parse(compile(spec).spec), { renderer: 'none' });
  const svg = await view.toSVG();
  view.finalize();
  return svg.replace('<svg ', '<svg aria-hidden="true" focusable="false" ');
};
