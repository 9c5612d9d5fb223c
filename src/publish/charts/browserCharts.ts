import { parse } from 'vega';
import { compile, type TopLevelSpec } from 'vega-lite';
import type { ChartSize } from './chartConfig.ts';
import { compositionStrip } from './compositionStrip.ts';
import { controlChart } from './controlChart.ts';
import { dotInterval } from './dotInterval.ts';

/** Charts that pages draw in the browser, with empty data sets that the page fills by name. */
const specs: Record<string, (size: ChartSize) => TopLevelSpec> = {
  classes: (size) => dotInterval([], { xTitle: 'points from expected', reference: 0 }, size),
  strip: (size) => compositionStrip([], size),
  history: (size) =>
    controlChart({ points: [], spans: [], marks: [] }, { yTitle: 'points from expected' }, size),
};

/** Each chart in both sizes as a Vega dataflow with its expressions as syntax trees: the browser needs no parser, no eval. */
export const browserCharts = (): Record<string, Record<ChartSize, object>> => {
  const dataflow = (spec: TopLevelSpec): object =>
    ownNames(JSON.stringify(parse(compile(spec).spec, {}, { ast: true })));
  return Object.fromEntries(
    Object.entries(specs).map(([name, spec]) => [
      name,
      { wide: dataflow(spec('wide')), narrow: dataflow(spec('narrow')) },
    ]),
  );
};

/** Vega numbers unnamed data by a counter of the whole process; here each chart counts its own, so that bytes never change. */
const ownNames = (json: string): object => {
  const found = new Map<string, string>();
  const renamed = json.replaceAll(/_:vega:_\d+/g, (name) => {
    const own = found.get(name) ?? `_:vega:_${found.size}`;
    found.set(name, own);
    return own;
  });
  return JSON.parse(renamed);
};
