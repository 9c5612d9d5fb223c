import type { VNode } from 'preact';
import { dotInterval } from '../charts/dotInterval.ts';
import { Actions, Section } from './actions.tsx';
import type { BuyerView, Measured } from './buyerView.ts';
import { columns, DataTable } from './dataTable.tsx';
import { drawnFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';

/** The buyer's first page: what to claim, what a saleable pound costs by range and grade, how suppliers differ. */
export const buyerHome = async (view: BuyerView, bundle: Bundle, write: Formats): Promise<string> => {
  const unit = `${write.currency} per ${write.unit} saleable`;
  return page(
    bundle,
    { title: 'What to buy and what to claim', file: 'index.html', lead: view.lead, basis: view.basis },
    <>
      <Actions title="Do next" actions={view.actions} none="No claim stands out." />
      <Section
        title="What a saleable pound costs"
        id="cost"
        note="By range and grade, cheapest first within each item. Items are never compared with each other."
      >
        <div class="grid">
          {
            await Promise.all(
              view.costs.map(({ item, rows }) =>
                meansFigure({
                  title: item,
                  unit,
                  rows,
                  print: write.cents,
                  read: 'Dot: mean cost. Line: 95 % interval; ranges whose lines overlap much do not differ for sure.',
                  head: 'range',
                }),
              ),
            )
          }
        </div>
      </Section>
      <Section title="How suppliers differ">
        <div class="grid">
          {
            await meansFigure({
              title: 'Yield against expected',
              unit: 'points of saleable yield',
              rows: view.supplierYield,
              print: write.signed,
              read: 'Dot: mean difference from what the same item, method, grade and weight gave. Line: 95 % interval.',
              head: 'supplier',
              reference: 0,
            })
          }
          {
            await meansFigure({
              title: 'Purge',
              unit: '% of billed weight',
              rows: view.supplierPurge,
              print: (value) => `${write.tenths(value)} %`,
              read: 'Dot: mean liquid lost in the bag where it was weighed. Line: 95 % interval. 1 to 2 % is usual (trade newsletter, secondary copy).',
              head: 'supplier',
              reference: 2,
            })
          }
        </div>
      </Section>
      <Section
        title="Open quotes"
        note="Best margin per billed weight first within each item, at the regular list, before labor."
      >
        <p>
          {`${view.buying.best} `}
          <a href="quotes.html">Every quote, what each range is worth, and a what-if</a>
        </p>
        <Quotes view={view} write={write} />
      </Section>
    </>,
  );
};

type Means = {
  title: string;
  unit: string;
  rows: Measured[];
  print: (value: number) => string;
  read: string;
  head: string;
  reference?: number;
};

const meansFigure = ({ title, unit, rows, print, read, head, reference }: Means): Promise<VNode> => {
  const tests = rows.reduce((sum, row) => sum + row.tests, 0);
  const middle = rows.reduce((sum, row) => sum + row.value * row.tests, 0) / Math.max(1, tests);
  return drawnFigure(
    {
      title,
      counted: `${unit}; ${tests} tests in groups of 5 or more`,
      read: `${read}${reference === undefined ? ' Dashed: mean of these tests.' : ''}`,
      table: {
        caption: `${title}: ${unit}`,
        columns: columns(head, '#mean', '#low', '#high', '#tests'),
        rows: rows.map((row) => [row.label, print(row.value), print(row.low), print(row.high), row.tests]),
      },
    },
    (size) => dotInterval(rows, { xTitle: unit, reference: reference ?? middle }, size),
  );
};

const Quotes = ({ view, write }: { view: BuyerView; write: Formats }): VNode => (
  <>
    <div class="filters" data-of="quotes" data-keys="supplier:Supplier,item:Item" />
    <DataTable
      table={{
        id: 'quotes',
        sortable: true,
        caption: `Quotes in force, ${write.currency} per ${write.unit}`,
        columns: columns(
          'Item',
          'Offer',
          '#Quoted',
          '#Landed',
          '#Per saleable',
          '#Margin per billed',
          'Answer',
        ),
        rows: view.quotes.map((quote) => [
          quote.item,
          quote.what,
          quote.price,
          quote.landed,
          quote.perSaleable,
          quote.margin,
          quote.answer,
        ]),
        keys: view.quotes.map((quote) => ({ supplier: quote.supplier, item: quote.item })),
      }}
    />
  </>
);
