import type { VNode } from 'preact';
import { Section } from './actions.tsx';
import type { BuyerView, ItemRows } from './buyerView.ts';
import { columns, DataTable } from './dataTable.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import { midSentence, sentenceStart } from './midSentence.ts';

/** One page to take to a talk with suppliers: claims, what a saleable pound costs by range, room for what was agreed. */
export const negotiationSheet = (view: BuyerView, bundle: Bundle, write: Formats): string =>
  page(
    bundle,
    { title: 'Negotiation sheet', file: 'sheet.html', lead: leadOf(view), basis: view.basis, kind: 'sheet' },
    <>
      <Section title="Raise">
        <ul class="plain">
          {view.claims.map((claim) => (
            <li key={claim.id}>{`${claim.ask}. ${claim.says} ${claim.step}`}</li>
          ))}
        </ul>
      </Section>
      <Section title="Say" note="What another range is worth at today’s best quotes.">
        <ul class="plain">
          {view.buying.items.flatMap((own) =>
            own.sentences
              .slice(0, mostSentences)
              .map((sentence) => (
                <li key={sentence}>{sentenceStart(`${own.item}: ${midSentence(sentence)}`)}</li>
              )),
          )}
        </ul>
      </Section>
      <Section
        title={`What a saleable ${write.unit} costs`}
        note="Cheapest range first; in brackets the 95 % interval."
      >
        <div class="two">
          {view.costs.map((item) => (
            <Costs key={item.item} item={item} write={write} />
          ))}
        </div>
      </Section>
      <Section title="Agreed">
        {[1, 2, 3].map((line) => (
          <p key={line} class="blank" />
        ))}
      </Section>
    </>,
  );

/** What to bring up. What a quote leaves is for the buyer's ears, and this sheet may lie on the table. */
const leadOf = ({ claims }: BuyerView): string => {
  const [first] = claims;
  return first === undefined
    ? 'No claim to raise: say what another range is worth at today’s quotes.'
    : `${first.ask}, then say what another range is worth at today’s quotes.`;
};

const mostRows = 2;
const mostSentences = 2;

const Costs = ({ item, write }: { item: ItemRows; write: Formats }): VNode => (
  <DataTable
    table={{
      caption: `${item.item}, ${write.currency} per ${write.unit} saleable`,
      columns: columns('Range', '#Cost'),
      rows: item.rows
        .slice(0, mostRows)
        .map((row) => [
          row.label,
          `${write.cents(row.value)} (${write.range(row.low, row.high, write.cents)})`,
        ]),
    }}
  />
);
