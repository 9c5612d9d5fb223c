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

/** Spec of a chart in one size. */
export type SpecOf = (size: ChartSize) => TopLevelSpec;
/** One of the small multiples of a figure. `counted` is what differs between them, e.g. `684 tests`. */
export type Panel = {
  title: string;
  counted: string;
  spec: TopLevelSpec;
  /** The same wide, to stand over two columns where there are two. */
  wide?: TopLevelSpec;
};

const Head = ({ text }: { text: FigureText }): VNode => (
  <figcaption>
    <h3>{text.title}</h3>
    <p class="counted">{text.counted}</p>
    <p class="read">{text.read}</p>
  </figcaption>
);

const Numbers = ({ table }: { table: Table }): VNode => (
  <details class="numbers">
    <summary>The same numbers as a table</summary>
    <DataTable table={table} />
  </details>
);

/**
 * A figure drawn at build in both sizes from its spec; nothing is drawn when its table is empty. A small drawing stands
 * beside its text where there is room.
 */
export const drawnFigure = async (text: FigureText, spec: SpecOf, isSmall = false): Promise<VNode> => {
  if (text.table.rows.length === 0) return <EmptyFigure text={text} />;
  return (
    <figure class={isSmall ? 'side' : undefined} data-figure={text.title}>
      <Head text={text} />
      {await bothSizes(spec('wide'), spec('narrow'))}
      <Numbers table={text.table} />
    </figure>
  );
};

const bothSizes = async (wide: TopLevelSpec, narrow: TopLevelSpec): Promise<VNode> => (
  <div class="plot">
    <div class="wide" dangerouslySetInnerHTML={{ __html: await drawSvg(wide) }} />
    <div class="narrow" dangerouslySetInnerHTML={{ __html: await drawSvg(narrow) }} />
  </div>
);

const drawnPanel = async ({ spec, wide }: Panel): Promise<VNode> =>
  wide === undefined ? (
    <div class="plot" dangerouslySetInnerHTML={{ __html: await drawSvg(spec) }} />
  ) : (
    bothSizes(wide, spec)
  );

/** Small multiples drawn at build: one way to read them, one table, one panel for each item or place. */
export const panelFigure = async (text: FigureText, panels: readonly Panel[]): Promise<VNode> => {
  if (text.table.rows.length === 0) return <EmptyFigure text={text} />;
  const drawn = await Promise.all(panels.map(drawnPanel));
  return (
    <figure class="panelled" data-figure={text.title}>
      <Head text={text} />
      <div class="panels">
        {panels.map((panel, i) => (
          <div key={panel.title} class={panel.wide === undefined ? 'panel' : 'panel double'}>
            <h4>{panel.title}</h4>
            <p class="counted">{panel.counted}</p>
            {drawn[i]}
          </div>
        ))}
      </div>
      <Numbers table={text.table} />
    </figure>
  );
};

const EmptyFigure = ({ text }: { text: FigureText }): VNode => (
  <figure data-figure={text.title}>
    <Head text={text} />
    <p class="note">Nothing to show yet.</p>
  </figure>
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
}): VNode =>
  text.table.rows.length === 0 ? (
    <EmptyFigure text={text} />
  ) : (
    <figure data-figure={text.title}>
      <Head text={text} />
      <div class="plot" data-chart={chart}>
        <script type="application/json" dangerouslySetInnerHTML={{ __html: scriptJson(data) }} />
        <noscript>
          <p class="note">Drawn with scripts; the table below holds the same numbers.</p>
        </noscript>
      </div>
      <Numbers table={text.table} />
    </figure>
  );
