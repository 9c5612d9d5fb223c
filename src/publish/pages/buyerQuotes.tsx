import type { VNode } from 'preact';
import { dotInterval } from '../charts/dotInterval.ts';
import { Section } from './actions.tsx';
import type { BuyingView, QuotesOfItem } from './buyingView.ts';
import { columns, DataTable } from './dataTable.tsx';
import { drawnFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Basis, type Bundle, page } from './frame.tsx';
import { sentenceStart } from './midSentence.ts';
import { scriptJson } from './scriptJson.ts';

/** The day's quotes ranked, what each range is worth at them, a what-if to type a price into, and what cannot be answered. */
export const buyerQuotes = async (
  view: BuyingView,
  bundle: Bundle,
  { write, basis }: { write: Formats; basis: Basis },
): Promise<string> =>
  page(
    bundle,
    {
      title: 'Quotes',
      file: 'quotes.html',
      lead: view.best === '' ? 'No open quote can be valued tonight.' : view.best,
      basis,
    },
    <>
      <WhatIf view={view} />
      {await Promise.all(view.items.map((item) => quotesOfItem(item, write)))}
      <Section
        title="No answer"
        note="Quotes that the tests do not reach. Nothing is guessed beyond the weights seen."
      >
        {view.unanswered.length === 0 ? (
          <p>Every open quote has an answer.</p>
        ) : (
          <ul class="plain">
            {view.unanswered.map((row) => (
              <li key={row.what}>{sentenceStart(`${row.what}: ${row.missing}.`)}</li>
            ))}
          </ul>
        )}
      </Section>
    </>,
  );

const WhatIf = ({ view }: { view: BuyingView }): VNode => (
  <Section
    title="What is it worth?"
    id="what-if"
    note="Type what is quoted and read what another offer is worth at most. Delivered prices on billed weight; intervals 95 %; at the regular retail list, for the method most used."
  >
    {view.whatIf.items.length === 0 ? (
      <p>No two offers of one item can be valued tonight.</p>
    ) : (
      <div class="what-if">
        <script type="application/json" dangerouslySetInnerHTML={{ __html: scriptJson(view.whatIf) }} />
        <noscript>
          <p class="note">Needs scripts; the sentences below answer for the open quotes.</p>
        </noscript>
      </div>
    )}
  </Section>
);

const quotesOfItem = async (own: QuotesOfItem, write: Formats): Promise<VNode> => (
  <Section title={own.item} key={own.item}>
    {
      await drawnFigure(
        {
          title: 'What each quote leaves',
          counted: `${write.currency} per billed ${write.unit} before labor; ${write.tests(own.tests)}`,
          read: 'Dot: expected sales value less delivered price. Line: 95 % interval. Offers share the yield curve: the chance of being best says more than overlapping lines. Dashed: the first.',
          table: {
            caption: `${own.item}: quotes, ${write.currency} per ${write.unit}`,
            columns: columns(
              'Offer',
              '#Quoted',
              '#Landed',
              '#Per saleable',
              '#Margin per billed',
              '#Low',
              '#High',
              '#After labor',
              '#Chance best',
              '#Tests',
              'Assumed',
            ),
            rows: own.quotes.map((quote) => [
              quote.what,
              quote.price,
              quote.landed,
              quote.perSaleable,
              quote.left,
              quote.low,
              quote.high,
              quote.afterLabor,
              quote.chance,
              write.count(quote.tests),
              quote.assumed,
            ]),
          },
        },
        (size) =>
          dotInterval(
            own.margins,
            {
              xTitle: `${write.currency} per billed ${write.unit}`,
              reference: own.margins[0]?.value ?? 0,
            },
            size,
          ),
      )
    }
    <p class="note">{`Valued as cut by ${own.methods.join(' and ')}, the way most used.`}</p>
    {own.turning === '' ? null : (
      <>
        <h3 class="after">What would turn the choice</h3>
        <p>{own.turning}</p>
      </>
    )}
    {own.sentences.length === 0 ? null : (
      <>
        <h3 class="after">What to say on the phone</h3>
        <ul class="plain">
          {own.sentences.map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
      </>
    )}
    <details>
      <summary>What each offer is worth against each other</summary>
      <DataTable table={own.worth} />
    </details>
  </Section>
);
