import type { ComponentChildren, VNode } from 'preact';
import { renderToString } from 'preact-render-to-string';

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
export type PageText = {
  title: string;
  /** File name, to mark the place in the navigation. */
  file: string;
  /** The one sentence a reader takes away. */
  lead: string;
  /** What the page rests on, e.g. `Data to 2026-11-23; 23 of 24 stores reported`. */
  basis: string;
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
      <span class="mark" aria-hidden="true" />
      <strong>{bundle.chainName}</strong>
      <span>{`for ${bundle.reader}`}</span>
    </p>
    <Navigation bundle={bundle} file={text.file} />
    <div class="find" data-finds={bundle.finds} />
  </header>
);

const Cautions = (): VNode => (
  <footer>
    <p>
      These pages compare numbers. They must not push anyone to cut faster, work unprotected, hold meat warm
      or label short weight. Guards and hand protection stay on; the cold chain and time out of refrigeration
      come first; net weight is without packaging and by your own rules; people get a fair hearing. Local
      codes and licensed practice decide. <a href="method.html">How the numbers are made</a>
    </p>
  </footer>
);

/** A whole page as HTML text: who it is for, one sentence to take away, the body, cautions. Nothing from the network. */
export const page = (bundle: Bundle, text: PageText, body: ComponentChildren): string =>
  `<!doctype html>\n${renderToString(
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
          <h1>{text.title}</h1>
          <p class="lead">{text.lead}</p>
          <p class="basis">{text.basis}</p>
          {body}
        </main>
        <Cautions />
      </body>
    </html>,
  )}\n`;
