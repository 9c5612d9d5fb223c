import type { VNode } from 'preact';
import { dotInterval } from '../charts/dotInterval.ts';
import { funnel } from '../charts/funnel.ts';
import { Section } from './actions.tsx';
import { columns, DataTable } from './dataTable.tsx';
import { drawnFigure, panelFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Basis, type Bundle, page } from './frame.tsx';
import type { PeopleView } from './peopleView.ts';

/** Everybody: find a cutter, see each item's ends, see who lies outside what chance allows. */
export const peoplePage = async (
  view: PeopleView,
  basis: Basis,
  { bundle, write }: { bundle: Bundle; write: Formats },
): Promise<string> =>
  page(
    bundle,
    { title: 'All cutters', file: 'people.html', lead: leadOf(view, write), basis },
    <>
      <Section
        title="Everybody"
        note="Those with something to work on first. Each name leads to a page to show."
      >
        <div class="filters" data-of="people" data-keys="store:Store,habit:To work on" />
        <Everybody view={view} write={write} />
      </Section>
      <Section
        title="By item"
        note={`Only cutters with enough tests to be compared. The order holds only as far as the lines do not overlap. Many differ a little for sure; something to work on begins where a difference is surely more than ${write.tenths(view.actedFrom)} points.`}
      >
        {await itemsFigure(view, write)}
      </Section>
      <Section title="Beyond chance">{await funnelFigure(view, write)}</Section>
    </>,
  );

const leadOf = ({ people }: PeopleView, write: Formats): string => {
  const atWork = people.filter((row) => row.toWorkOn !== '');
  if (atWork.length === 0) return 'No cutter has a habit that stands out from chance.';
  const whom = atWork.length === 1 ? 'cutter has' : 'cutters have';
  return `${write.count(atWork.length)} of ${write.count(people.length)} ${whom} something to work on; what the others differ by is too little, or not sure enough, to act on.`;
};

const funnelFigure = ({ funnel: { dots, limits, of } }: PeopleView, write: Formats): Promise<VNode> => {
  const outside = dots.filter((dot) => dot.outside).length;
  return drawnFigure(
    {
      title: 'Main cut against expected, by number of tests',
      counted: `points of drained weight, before shrinking; ${write.count(of)} comparisons of a cutter on an item${dots.length < of ? `, the ${write.count(dots.length)} farthest drawn` : ''}; ${write.count(outside)} outside`,
      read: 'Each dot is one cutter on one item. Chance alone puts 95 % of them inside the dashed limits, so 1 in 20 lies outside by chance; the farthest are named.',
      table: {
        caption: 'Comparisons outside the limits, points from expected; farthest first',
        columns: columns('Who and item', '#Points', '#Tests'),
        rows: dots
          .filter((dot) => dot.outside)
          .map((dot) => [dot.who, write.signed(dot.difference), write.count(dot.tests)]),
      },
    },
    (size) => funnel(dots, limits, { yTitle: 'points from expected' }, size),
  );
};

const itemsFigure = ({ items }: PeopleView, write: Formats): Promise<VNode> =>
  panelFigure(
    {
      title: 'Main cut by cutter',
      counted: `points of drained weight from expected; ${write.tests(items.reduce((sum, item) => sum + item.tests, 0))}`,
      read: 'Dot: difference from an average cutter. Line: 95 % interval; grey crosses 0 and may be chance.',
      table: {
        caption: 'Main cut by item and cutter, points from expected',
        columns: columns('Item', 'Who', '#Points', '#Low', '#High', '#Tests'),
        rows: items.flatMap((item) =>
          item.rows.map((row) => [
            item.item,
            row.label,
            write.signed(row.value),
            write.signed(row.low),
            write.signed(row.high),
            write.count(row.tests),
          ]),
        ),
      },
    },
    items.map((item) => ({
      title: item.item,
      counted: `${write.tests(item.tests)}; ${item.shown === item.of ? `${item.of} cutters` : `the ${item.shown} farthest from the middle of ${item.of} cutters`}`,
      spec: dotInterval(item.rows, { xTitle: 'points from expected', reference: 0, dense: true }, 'narrow'),
    })),
  );

const Everybody = ({ view, write }: { view: PeopleView; write: Formats }): VNode => (
  <DataTable
    table={{
      id: 'people',
      sortable: true,
      caption: 'All cutters',
      columns: columns('Who', 'Store', '#Tests', 'To work on'),
      rows: view.people.map((row) => [
        { text: row.label, href: row.href },
        row.store,
        write.count(row.tests),
        row.toWorkOn,
      ]),
      keys: view.people.map((row) => ({
        store: row.store,
        habit: row.toWorkOn === '' ? 'nothing' : 'something',
      })),
    }}
  />
);
