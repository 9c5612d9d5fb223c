import type { ComponentChildren, VNode } from 'preact';
import { renderToString } from 'preact-render-to-string';
import { type Fact, Facts, Unbroken } from './actions.tsx';

export type NavLink = { text: string; href: string };
/** What all pages of one bundle share. */
export type Bundle = {
  chainName: string;
  /** For whom, e.g. `the trainer`. */
  reader: string;
  nav: readonly NavLink[];
  /** What the find box looks for, e.g. `store or item`. */
  finds: string;
  banner: string;
};
/** What a page rests on: how fresh it is, e.g. `Data to Nov 23, 2026. 23 of 24 stores reported`, and what was adjusted for. */
export type Basis = { data: string; adjusted: string };
export type PageText = {
  title: string;
  /** File name, to mark the place in the navigation. */
  file: string;
  /** The one sentence a reader takes away. */
  lead: string;
  basis: Basis;
  /** A few figures under the lead. */
  facts?: readonly Fact[];
  kind?: 'page' | 'sheet';
  /** Whether charts are drawn in the browser. */
  draws?: boolean;
};

const policy =
  "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data: blob:; base-uri 'none'; form-action 'none'";

const Head = ({ title, draws }: { title: string; draws: boolean }): VNode => (
  <head>
    <meta charset="utf-8" />
    <meta http-equiv="Content-Security-Policy" content={policy} />
    <meta name="viewport" content="width=device-width, initial-scale=1" />
    <meta name="referrer" content="no-referrer" />
    <meta name="robots" content="noindex" />
    <title>{title}</title>
    <link rel="icon" href="data:," />
    <link rel="stylesheet" href="style.css" />
    <script src="night.js" defer />
    <script src="page.js" defer />
    {draws
      ? [<script key="charts" src="charts.js" defer />, <script key="runtime" src="runtime.js" defer />]
      : null}
  </head>
);

const Navigation = ({ bundle, file }: { bundle: Bundle; file: string }): VNode => (
  <nav aria-label="Pages">
    <ul>
      {bundle.nav.map((link) => (
        <li key={link.href}>
          <a href={link.href} aria-current={link.href === file ? 'page' : undefined}>
            {link.text}
          </a>
        </li>
      ))}
    </ul>
  </nav>
);

const Top = ({ bundle, text }: { bundle: Bundle; text: PageText }): VNode => (
  <header>
    <p class="chain">
      <strong>{bundle.chainName}</strong>
      <span>{`Cutting tests, for ${bundle.reader}`}</span>
    </p>
    <Navigation bundle={bundle} file={text.file} />
    <div class="find" data-finds={bundle.finds} />
  </header>
);

const Foot = ({ basis }: { basis: Basis }): VNode => (
  <footer>
    <p id="basis">
      <b>What the numbers rest on. </b>
      {`${basis.adjusted} `}
      <a href="method.html">How they are made</a>
    </p>
    <p>
      <b>With care. </b>
      These pages compare numbers. They must not push anyone to cut faster, work unprotected, hold meat warm
      or label short weight. Guards and hand protection stay on; the cold chain and time out of refrigeration
      come first; net weight is without packaging, as local law has it; people get a fair hearing. Local codes
      and licensed practice decide.
    </p>
  </footer>
);

const Opening = ({ text }: { text: PageText }): VNode => (
  <div class="opening">
    <h1>{text.title}</h1>
    <div class="body">
      <p class="lead">
        <Unbroken text={text.lead} />
      </p>
      {text.facts === undefined || text.facts.length === 0 ? null : <Facts facts={text.facts} />}
    </div>
    <p class="basis">
      {`${text.basis.data} `}
      <span>
        <a href="#basis">What was adjusted for</a>
        {' · '}
        <a href="method.html#words">Words</a>
      </span>
    </p>
  </div>
);

/** A whole page as HTML text: who it is for, one sentence to take away, the body, cautions. Nothing from the network. */
export const page = (bundle: Bundle, text: PageText, body: ComponentChildren): string =>
  `<!doctype html>\n${withFixedSpaces(
    renderToString(
      <html lang="en">
        <Head title={`${text.title} - ${bundle.chainName}`} draws={text.draws === true} />
        <body class={text.kind ?? 'page'}>
          <a class="skip" href="#main">
            Skip to the page
          </a>
          <Top bundle={bundle} text={text} />
          <main id="main" tabIndex={-1}>
            {bundle.banner === '' ? null : <p class="banner">{bundle.banner}</p>}
            <p class="stale" role="status" hidden />
            <Opening text={text} />
            {body}
          </main>
          <Foot basis={text.basis} />
        </body>
      </html>,
    ),
  )}\n`;

/** No line ends between a number and its sign of per cent. */
const withFixedSpaces = (html: string): string => html.replaceAll(/(\d) %/g, '$1\u00a0%');
