import type { VNode } from 'preact';
import type { TopLevelSpec } from 'vega-lite';
import type { ChartSize } from '../charts/chartConfig.ts';
import { drawSvg } from '../charts/drawSvg.ts';
import { DataTable, type Table } from './dataTable.tsx';
import { scriptJson } from './scriptJson.ts';

/** What every figure tells: its question, what is counted, what the interval means, how to read it, and its table. */
export type FigureText = {
  title: string;
  /** Unit and number of tests, e.g. `USD a week; 47 tests`. */
  counted: string;
  /** One sentence on how to read it, with what the interval or band means. */
  read: string;
  table: Table;
};

type Drawing = { wide: string; narrow: string };

/** Spec of a chart in one size. */
export type SpecOf = (size: ChartSize) => TopLevelSpec;

/** Draws both sizes of a chart at build; nothing when its table is empty. */
const drawing = async (table: Table, spec: SpecOf): Promise<Drawing | undefined> =>
  table.rows.length === 0
    ? undefined
    : { wide: await drawSvg(spec('wide')), narrow: await drawSvg(spec('narrow')) };

const Head = ({ text }: { text: FigureText }): VNode => (
  <figcaption>
    <h3>{text.title}</h3>
    <p class="counted">{text.counted}</p>
    <p class="read">{text.read}</p>
  </figcaption>
);

const Numbers = ({ table, open }: { table: Table; open?: boolean }): VNode => (
  <details class="numbers" open={open === true}>
    <summary>The same numbers as a table</summary>
    <DataTable table={table} />
  </details>
);

/** A figure drawn at build. */
const Figure = ({ text, drawn }: { text: FigureText; drawn: Drawing | undefined }): VNode => (
  <figure data-figure={text.title}>
    <Head text={text} />
    {drawn === undefined ? (
      <p class="note">Nothing to show yet.</p>
    ) : (
      <div class="plot">
        <div class="wide" dangerouslySetInnerHTML={{ __html: drawn.wide }} />
        <div class="narrow" dangerouslySetInnerHTML={{ __html: drawn.narrow }} />
      </div>
    )}
    <Numbers table={text.table} />
  </figure>
);

/** A figure drawn at build from its spec. */
export const drawnFigure = async (text: FigureText, spec: SpecOf): Promise<VNode> => (
  <Figure text={text} drawn={await drawing(text.table, spec)} />
);

/** A figure drawn in the browser from a chart of the bundle (`charts.js`) and the rows of each of its data sets. */
export const BrowserFigure = ({
  text,
  chart,
  data,
}: {
  text: FigureText;
  chart: string;
  data: Record<string, readonly object[]>;
}): VNode => (
  <figure data-figure={text.title}>
    <Head text={text} />
    {text.table.rows.length === 0 ? (
      <p class="note">Nothing to show yet.</p>
    ) : (
      <div class="plot" data-chart={chart}>
        <script type="application/json" dangerouslySetInnerHTML={{ __html: scriptJson(data) }} />
        <noscript>
          <p class="note">Drawn with scripts; the table below holds the same numbers.</p>
        </noscript>
      </div>
    )}
    <Numbers table={text.table} />
  </figure>
);
