import type { ComponentChildren, VNode } from 'preact';
import { renderToString } from 'preact-render-to-string';

export type Frame = {
  title: string;
  chainName: string;
  reader: string;
  dataTo: string;
  reported: string;
  lead: string;
  banner?: string;
  home?: string;
};

const cautions =
  'These pages compare numbers. They must not push anyone to cut faster, work unprotected, hold meat warm or label short weight. Guards and hand protection stay on, the cold chain and time out of refrigeration come first, net weight is without packaging and free liquid as your rules say, and people get a fair hearing. Local codes and licensed practice decide.';

/** A whole page as HTML text: one headline sentence first, cautions and method last. No scripts, nothing from the network. */
export const page = (frame: Frame, body: ComponentChildren): string =>
  `<!doctype html>\n${renderToString(
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta
          http-equiv="Content-Security-Policy"
          content="default-src 'none'; style-src 'self'; img-src 'self' data:"
        />
        <title>{`${frame.title} - ${frame.chainName}`}</title>
        <link rel="stylesheet" href="style.css" />
      </head>
      <body>
        <header>
          <h1>{`${frame.chainName}: ${frame.title}`}</h1>
          <p>{`For ${frame.reader}. Data to ${frame.dataTo}; ${frame.reported}.`}</p>
          {frame.home === undefined ? null : (
            <nav>
              <a href={frame.home}>Back to the first page</a>
            </nav>
          )}
        </header>
        <main>
          {frame.banner === undefined ? null : <p class="banner">{frame.banner}</p>}
          <p class="lead">{frame.lead}</p>
          {body}
        </main>
        <footer>
          <p>{cautions}</p>
          <p>
            Yields are shares of drained weight unless a figure says billed. Intervals are 95 %. Expected
            yield is what the tests of the same item, spec, method, grade and weight class gave; differences
            are in points.
          </p>
        </footer>
      </body>
    </html>,
  )}\n`;

export type Table = { head: readonly string[]; rows: readonly (readonly (string | number)[])[] };

/** A data table; cells that are numbers or look like one are set to the right. */
export const DataTable = ({ table }: { table: Table }): VNode => (
  // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable from the keyboard
  <div class="scroll" tabIndex={0} role="region" aria-label={table.head.join(', ')}>
    <table>
      <thead>
        <tr>
          {table.head.map((cell) => (
            <th key={cell} scope="col">
              {cell}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {table.rows.map((row) => (
          <tr key={row.join('|')}>
            {row.map((cell, i) => (
              <td key={table.head[i]} class={/^[-\d$]/.test(String(cell)) ? 'n' : ''}>
                {cell}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  </div>
);

export type FigureProps = { title: string; n: string; how: string; svg: string; table: Table };

/** A chart with its title, unit, n, how to read it, and the same numbers as a table. */
export const Figure = ({ title, n, how, svg, table }: FigureProps): VNode => (
  <figure role="group" aria-label={title}>
    <figcaption>
      <strong>{title}</strong> <span class="how">{`${n}. ${how}`}</span>
    </figcaption>
    {table.rows.length === 0 ? (
      <p class="note">Nothing to show yet.</p>
    ) : (
      <div dangerouslySetInnerHTML={{ __html: svg }} />
    )}
    <details>
      <summary>The same numbers as a table</summary>
      <DataTable table={table} />
    </details>
  </figure>
);
