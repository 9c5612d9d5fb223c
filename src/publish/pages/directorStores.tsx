import type { VNode } from 'preact';
import { Section } from './actions.tsx';
import { columns, DataTable } from './dataTable.tsx';
import type { DirectorView } from './directorView.ts';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import { moneySum } from './losses.ts';

/** Every store: whether it reports, how much was set aside, and what its habits cost where that may be shown. */
export const directorStores = (view: DirectorView, bundle: Bundle, write: Formats): string => {
  const silent = view.stores.filter((store) => store.silent);
  const lead =
    silent.length === 0
      ? 'No store is silent.'
      : `${silent.length === 1 ? silent[0]?.name : `${silent.length} of ${view.stores.length} stores`} ${silent.length === 1 ? 'has' : 'have'} sent nothing lately: ask for the sheets before you read the totals.`;
  return page(
    bundle,
    { title: 'Stores', file: 'stores.html', lead, basis: view.basis },
    <Section
      title="Every store"
      note="Silent stores first, then by cost. “Set aside” are tests that cannot be true as sent; it is left blank, as is money, where a room is too small to show."
    >
      <div class="filters" data-of="stores" data-keys="region:Region,state:State,store:Store" />
      <StoreTable view={view} write={write} />
    </Section>,
  );
};

const StoreTable = ({ view, write }: { view: DirectorView; write: Formats }): VNode => {
  const ownOf = (store: string) => view.shown.rows.filter((row) => row.store === store);
  const costOf = (store: string): number => moneySum(ownOf(store)).value;
  const stores = [...view.stores].sort(
    (a, b) => Number(b.silent) - Number(a.silent) || costOf(b.store) - costOf(a.store),
  );
  const stateOf = (silent: boolean): string => (silent ? 'silent' : 'reports');
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
          const money = (value: number): string => (own.length === 0 ? '' : write.money(value));
          return [
            store.name,
            store.store,
            store.region,
            stateOf(store.silent),
            write.day(store.lastTest) || 'never',
            store.tests,
            isSmall ? '' : store.held,
            money(sum.value),
            money(sum.low),
            money(sum.high),
          ];
        }),
        keys: stores.map((store) => ({
          region: store.region,
          state: stateOf(store.silent),
          store: store.store,
        })),
      }}
    />
  );
};
