import type { VNode } from 'preact';
import { type Action, Actions, Section } from './actions.tsx';
import { columns, DataTable } from './dataTable.tsx';
import type { DirectorView } from './directorView.ts';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';

const mostRows = 8;
const mostActions = 6;

/** One page to print for the weekly call: the amount, what to do with whom and by when, the stores to ask. */
export const callSheet = (view: DirectorView, bundle: Bundle, write: Formats): string =>
  page(
    bundle,
    { title: 'Weekly call', file: 'call-sheet.html', lead: view.lead, basis: view.basis, kind: 'sheet' },
    <>
      <Actions
        title="Agree on"
        actions={onePage(view.actions).map((action) => ({ ...action, links: [] }))}
        none={view.calm}
      />
      <div class="two">
        <Section title={`Cost by ${placesOf(view).title.toLowerCase()}`}>
          <CostTable view={view} write={write} />
        </Section>
        <Section title="Who does what by when">
          {[1, 2, 3, 4].map((line) => (
            <p key={line} class="blank" />
          ))}
        </Section>
      </div>
    </>,
  );

/** As many actions as a page holds: of those with money the cheapest go first, so that whom to ask for sheets stays. */
export const onePage = (actions: readonly Action[]): Action[] => {
  const priced = actions.filter((action) => action.worth !== '').length;
  const kept = Math.max(0, priced - Math.max(0, actions.length - mostActions));
  let seen = 0;
  return actions.filter((action) => action.worth === '' || seen++ < kept).slice(0, mostActions);
};

/** Stores, or where none may be shown the regions. */
const placesOf = ({ places }: DirectorView): DirectorView['places']['drawn'][number] =>
  places.drawn.find(({ title, rows }) => title === 'Store' && rows.length > 0) ??
  places.drawn[0] ?? { title: 'Region', rows: [] };

const CostTable = ({ view, write }: { view: DirectorView; write: Formats }): VNode => (
  <DataTable
    table={{
      caption: `${write.currency} ${view.span} with 95 % interval`,
      columns: columns(placesOf(view).title, '#Cost', '#Interval'),
      rows: placesOf(view)
        .rows.slice(0, mostRows)
        .map((row) => {
          const [cost = '', low, high] = write.moneyAlike(row.value, row.low, row.high);
          return [row.label, cost, `${low} to ${high}`];
        }),
    }}
  />
);
