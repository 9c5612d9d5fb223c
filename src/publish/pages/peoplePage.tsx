import type { VNode } from 'preact';
import { dotInterval } from '../charts/dotInterval.ts';
import { funnel } from '../charts/funnel.ts';
import { Section } from './actions.tsx';
import { columns, DataTable } from './dataTable.tsx';
import { drawnFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import type { PeopleView } from './peopleView.ts';

/** Everybody: find a cutter, see each item's ends, see who lies outside what chance allows. */
export const peoplePage = async (
  view: PeopleView,
  basis: string,
  { bundle, write }: { bundle: Bundle; write: Formats },
): Promise<string> => {
  const outside = view.funnel.dots.filter((dot) => dot.outside).length;
  return page(
    bundle,
    {
      title: 'Cutters',
      file: 'people.html',
      lead: `${outside} of ${view.funnel.of} comparisons go beyond what chance alone does; the other differences may be chance.`,
      basis,
    },
    <>
      <Section title="Beyond chance">{await funnelFigure(view, write)}</Section>
      <Section
        title="By item"
        note="Only cutters with enough tests to be compared. The order holds only as far as the lines do not overlap."
      >
        <div class="grid">{await Promise.all(view.items.map((item) => itemFigure(item, write)))}</div>
      </Section>
      <Section title="Everybody">
        <div class="filters" data-of="people" data-keys="store:Store,habit:To work on" />
        <Everybody view={view} />
      </Section>
    </>,
  );
};

const funnelFigure = ({ funnel: { dots, limits, of } }: PeopleView, write: Formats): Promise<VNode> =>
  drawnFigure(
    {
      title: 'Main cut against expected, by number of tests',
      counted: `points of drained weight, before shrinking; ${write.count(of)} comparisons of a cutter on an item`,
      read: 'Each dot is one cutter on one item. Inside the dashed limits (95 %) is what chance alone does; colored dots lie outside.',
      table: {
        caption: 'Comparisons outside the limits, points from expected',
        columns: columns('who and item', '#points', '#tests'),
        rows: dots
          .filter((dot) => dot.label !== '')
          .map((dot) => [dot.label, write.signed(dot.difference), dot.tests]),
      },
    },
    (size) => funnel(dots, limits, { yTitle: 'points from expected' }, size),
  );

const itemFigure = (item: PeopleView['items'][number], write: Formats): Promise<VNode> =>
  drawnFigure(
    {
      title: item.item,
      counted: `points of main cut; ${write.count(item.tests)} tests; ${item.shown === item.of ? `${item.of} cutters` : `the ${item.shown} farthest from the middle of ${item.of} cutters`}`,
      read: 'Dot: difference from an average cutter. Line: 95 % interval; grey crosses 0 and may be chance.',
      table: {
        caption: `${item.item}: main cut, points from expected`,
        columns: columns('who', '#points', '#low', '#high', '#tests'),
        rows: item.rows.map((row) => [
          row.label,
          write.signed(row.value),
          write.signed(row.low),
          write.signed(row.high),
          row.tests,
        ]),
      },
    },
    (size) => dotInterval(item.rows, { xTitle: 'points from expected', reference: 0, dense: true }, size),
  );

const Everybody = ({ view }: { view: PeopleView }): VNode => (
  <DataTable
    table={{
      id: 'people',
      sortable: true,
      caption: 'Cutters',
      columns: columns('Who', 'Store', '#Tests', 'To work on'),
      rows: view.people.map((row) => [
        { text: row.label, href: row.href },
        row.store,
        row.tests,
        row.habits > 0 ? 'yes' : 'no',
      ]),
      keys: view.people.map((row) => ({ store: row.store, habit: row.habits > 0 ? 'yes' : 'no' })),
    }}
  />
);
