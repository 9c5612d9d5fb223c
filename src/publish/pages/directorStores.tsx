import type { VNode } from 'preact';
import { Section } from './actions.tsx';
import { columns, DataTable, dayCell } from './dataTable.tsx';
import type { DirectorView } from './directorView.ts';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import { moneySum } from './losses.ts';
import { storeState } from './peopleFree.ts';

/** Every store: whether it reports, how much was set aside, and what its habits cost where that may be shown. */
export const directorStores = (view: DirectorView, bundle: Bundle, write: Formats): string => {
  const lead = [silentText(view), oldText(view, write), refusedText(view)]
    .filter((part) => part !== '')
    .join(' ');
  return page(
    bundle,
    { title: 'Stores', file: 'stores.html', lead, basis: view.basis },
    <>
      <Refused view={view} write={write} />
      <Section
        title="Every store"
        note="Silent stores first, then those whose files were refused whole, those whose sheets are old, then by cost. “Set aside” are tests that cannot be true as sent; it is left blank, as is money, where a room is too small to show."
      >
        <div class="filters" data-of="stores" data-keys="region:Region,state:State,store:Store" />
        <StoreTable view={view} write={write} />
      </Section>
    </>,
  );
};

const silentText = ({ stores }: DirectorView): string => {
  const silent = stores.filter((store) => store.silent);
  if (silent.length === 0) return 'No store is silent.';
  return `${silent.length === 1 ? silent[0]?.name : `${silent.length} of ${stores.length} stores`} ${silent.length === 1 ? 'has' : 'have'} sent nothing lately: ask for the sheets before you read the totals.`;
};

/** Stores that send, but only what was cut too long ago. */
const oldText = ({ stores }: DirectorView, write: Formats): string => {
  const old = stores.filter((store) => store.sentButOld);
  if (old.length === 0) return '';
  const named = old
    .slice(0, mostNamed)
    .map((store) => `${store.name} (last cut ${write.day(store.lastTest)})`);
  const others = old.length > mostNamed ? ` and ${old.length - mostNamed} more` : '';
  return `Sent lately, but old sheets only: ${named.join(', ')}${others}.`;
};

const refusedText = ({ stores, refused }: DirectorView): string => {
  if (refused.length === 0) return '';
  const only = stores.filter((store) => store.sentButRefused).map((store) => store.name);
  const files = `${refused.length} ${refused.length === 1 ? 'file was' : 'files were'} refused whole`;
  if (only.length === 0) return `${files}.`;
  const whose = only.length > mostNamed ? `${only.length} stores` : only.join(', ');
  return `${files}: of ${whose} nothing that was sent lately could be read.`;
};

const mostNamed = 4;

/** Files of which nothing was read: whose, why, and what mends them. */
const Refused = ({ view, write }: { view: DirectorView; write: Formats }): VNode | null => {
  const nameOf = new Map(view.stores.map((store) => [store.store, store.name]));
  const whose = (stores: readonly string[]): string =>
    stores.length > mostNamed
      ? `${stores.length} stores`
      : stores.map((store) => nameOf.get(store) ?? store).join(', ');
  return view.refused.length === 0 ? null : (
    <Section
      title="Files refused whole"
      note="Nothing of them is in any figure. They leave this list when they are sent again under the same name, or after the days that the chain allows between tests."
    >
      <DataTable
        table={{
          caption: 'Files of which nothing was read',
          columns: columns('Store', 'Sender', 'File', 'First seen', 'Why', 'Where', 'What to do'),
          rows: view.refused.map((file) => [
            whose(file.stores) || 'not known',
            file.sender,
            file.file,
            dayCell(file.seen, write),
            file.why,
            file.where,
            file.remedy,
          ]),
        }}
      />
    </Section>
  );
};

const StoreTable = ({ view, write }: { view: DirectorView; write: Formats }): VNode => {
  const ownOf = (store: string) => view.shown.rows.filter((row) => row.store === store);
  const costOf = (store: string): number => moneySum(ownOf(store)).value;
  const stores = [...view.stores].sort(
    (a, b) =>
      Number(b.silent) - Number(a.silent) ||
      Number(b.sentButRefused) - Number(a.sentButRefused) ||
      Number(b.sentButOld) - Number(a.sentButOld) ||
      costOf(b.store) - costOf(a.store),
  );
  return (
    <DataTable
      table={{
        id: 'stores',
        sortable: true,
        caption: `Tests and cost by store, ${write.currency} ${view.span}`,
        columns: columns(
          'Store',
          'Key',
          'Region',
          'State',
          'Last test',
          '#Tests',
          '#Set aside',
          '#Cost',
          '#Low',
          '#High',
        ),
        rows: stores.map((store) => {
          const own = ownOf(store.store);
          const sum = moneySum(own);
          const isSmall = store.cutters < view.minimumGroup;
          return [
            store.name,
            store.store,
            store.region,
            storeState(store),
            dayCell(store.lastTest, write) || 'never',
            write.count(store.tests),
            isSmall ? '' : write.count(store.held),
            ...(own.length === 0 ? ['', '', ''] : write.moneyAlike(sum.value, sum.low, sum.high)),
          ];
        }),
        keys: stores.map((store) => ({
          region: store.region,
          state: storeState(store),
          store: store.store,
        })),
      }}
    />
  );
};
