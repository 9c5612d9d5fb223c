import type { VNode } from 'preact';
import { dotInterval } from '../charts/dotInterval.ts';
import { Actions, Links, Section } from './actions.tsx';
import type { BuyerView, Measured } from './buyerView.ts';
import { columns, DataTable } from './dataTable.tsx';
import { drawnFigure, panelFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';

/** The buyer's first page: what to quote and claim, the day's quotes, what a saleable pound costs, how suppliers differ. */
export const buyerHome = async (view: BuyerView, bundle: Bundle, write: Formats): Promise<string> =>
  page(
    bundle,
    {
      title: 'What to buy and what to claim',
      file: 'index.html',
      lead: view.lead,
      basis: view.basis,
      facts: view.facts,
    },
    <>
      <Actions
        title="Do next"
        note="Ranges are 95 % intervals: the true value lies in them with 95 % chance."
        actions={view.actions}
        none="No quote can be valued and no claim stands out."
      />
      <Section
        title="Open quotes"
        note="Within each item by margin before labor: sales value at the regular list less delivered price. The cheapest saleable weight need not leave most, as heavier and lighter pieces give other cuts to sell."
      >
        <Quotes view={view} write={write} />
      </Section>
      <Section
        title={`What a saleable ${write.unit} costs`}
        id="cost"
        note={`As paid in the tests, not as quoted today. By range and grade, cheapest first within each item. Items are never compared with each other.${view.leftOut}${view.unpriced}`}
      >
        {await costFigure(view, write)}
      </Section>
      <Section title="How suppliers differ">
        <div class="grid">{await supplierFigures(view, write)}</div>
      </Section>
    </>,
  );

const costFigure = ({ costs }: BuyerView, write: Formats): Promise<VNode> => {
  const unit = `${write.currency} per ${write.unit} saleable`;
  const testsOf = (rows: readonly Measured[]): number => rows.reduce((sum, row) => sum + row.tests, 0);
  return panelFigure(
    {
      title: 'Cost by range and grade, at prices paid',
      counted: `${unit}; ${write.tests(costs.reduce((sum, { rows }) => sum + testsOf(rows), 0))} in groups of 5 or more`,
      read: 'Dot: mean cost. Line: 95 % interval; ranges whose lines overlap much may not differ. Dashed: mean of the item’s tests.',
      table: {
        caption: `Cost by item and range, ${unit}`,
        columns: columns('Item', 'Range', '#Mean', '#Low', '#High', '#Tests'),
        rows: costs.flatMap(({ item, rows }) =>
          rows.map((row) => [
            item,
            row.label,
            write.cents(row.value),
            write.cents(row.low),
            write.cents(row.high),
            write.count(row.tests),
          ]),
        ),
      },
    },
    costs.map(({ item, rows }) => ({
      title: item,
      counted: write.tests(testsOf(rows)),
      spec: dotInterval(rows, { xTitle: unit, reference: middleOf(rows) }, 'narrow'),
    })),
  );
};

const middleOf = (rows: readonly Measured[]): number =>
  rows.reduce((sum, row) => sum + row.value * row.tests, 0) /
  Math.max(
    1,
    rows.reduce((sum, row) => sum + row.tests, 0),
  );

const supplierFigures = (view: BuyerView, write: Formats): Promise<VNode[]> =>
  Promise.all([
    meansFigure({
      title: 'Yield against expected',
      unit: 'points of saleable yield',
      rows: view.supplierYield,
      print: write.signed,
      write,
      read: 'Dot: mean difference from what the same item, method, grade and weight gave. Line: 95 % interval; grey crosses 0 and may be chance.',
      reference: 0,
    }),
    meansFigure({
      title: 'Purge',
      unit: '% of billed weight',
      rows: view.supplierPurge,
      print: (value) => `${write.tenths(value)} %`,
      write,
      read: `Dot: mean liquid lost in the bag where it was weighed. Line: 95 % interval. Dashed: ${write.tenths(view.usualPurge)} %, taken as usual (a trade newsletter, secondary copy, names 1 to 2 %).`,
      reference: view.usualPurge,
    }),
  ]);

type Means = {
  title: string;
  unit: string;
  rows: Measured[];
  print: (value: number) => string;
  write: Formats;
  read: string;
  reference: number;
};

const meansFigure = ({ title, unit, rows, print, write, read, reference }: Means): Promise<VNode> =>
  drawnFigure(
    {
      title,
      counted: `${unit}; ${write.tests(rows.reduce((sum, row) => sum + row.tests, 0))} in groups of 5 or more`,
      read,
      table: {
        caption: `${title}: ${unit}`,
        columns: columns('Supplier', '#Mean', '#Low', '#High', '#Tests'),
        rows: rows.map((row) => [
          row.label,
          print(row.value),
          print(row.low),
          print(row.high),
          write.count(row.tests),
        ]),
      },
    },
    (size) => dotInterval(rows, { xTitle: unit, reference }, size),
  );

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
          '#Until',
          '#Per saleable',
          '#Margin per billed',
          '#Chance best',
        ),
        rows: view.quotes.map((quote) => [
          quote.item,
          quote.missing === '' ? quote.what : `${quote.what}. No value: ${quote.missing}`,
          quote.price,
          quote.until,
          quote.perSaleable,
          quote.margin,
          quote.chance,
        ]),
        keys: view.quotes.map((quote) => ({ supplier: quote.supplier, item: quote.item })),
      }}
    />
    <Links links={[{ text: 'What each range is worth, and a what-if', href: 'quotes.html' }]} />
  </>
);
