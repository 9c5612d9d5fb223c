import type { VNode } from 'preact';
import { Section } from './actions.tsx';
import type { BuyerView } from './buyerView.ts';
import { columns, DataTable } from './dataTable.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';

/** What to claim from whom, with lots and the tests behind each claim. */
export const buyerClaims = (view: BuyerView, bundle: Bundle, write: Formats): string =>
  page(
    bundle,
    { title: 'Claims', file: 'claims.html', lead: view.lead, basis: view.basis },
    <>
      {view.claims.map((claim) => (
        <Claim key={claim.findingId} claim={claim} />
      ))}
      <Section
        title="Lots with the most purge"
        note="Usual is 1 to 2 % of billed weight (trade newsletter, secondary copy); ask for days since pack."
      >
        <Lots view={view} write={write} />
      </Section>
    </>,
  );

const Claim = ({ claim }: { claim: BuyerView['claims'][number] }): VNode => (
  <Section title={claim.headline} id={`claim-${claim.findingId}`}>
    <p>{claim.step}</p>
    <details>
      <summary>{`The ${claim.evidence.length} tests farthest off`}</summary>
      <DataTable
        table={{
          caption: 'Tests behind the claim',
          columns: columns('Store', 'Test', 'File and line'),
          rows: claim.evidence.map((test) => [
            test.store,
            test.testId,
            `${test.sourceFile}:${test.sourceLine}`,
          ]),
        }}
      />
    </details>
  </Section>
);

const Lots = ({ view, write }: { view: BuyerView; write: Formats }): VNode => (
  <DataTable
    table={{
      id: 'lots',
      sortable: true,
      caption: 'Purge by lot, % of billed weight',
      columns: columns('Supplier', 'Lot', 'Item', '#Purge', '#Tests'),
      rows: view.lots.map((lot) => [lot.supplier, lot.lot, lot.item, write.percent(lot.purge), lot.tests]),
    }}
  />
);
