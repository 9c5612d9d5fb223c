import type { VNode } from 'preact';
import { isoFromDay } from '../../units/calendarDay.ts';
import { Section } from './actions.tsx';
import { bagLossTable } from './bagLossTable.ts';
import type { BuyerView, ClaimRead } from './buyerView.ts';
import { columns, DataTable, dayCell } from './dataTable.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import { midSentence } from './midSentence.ts';

/** What to claim from whom, with the lots to name and what was paid for the weight above usual. */
export const buyerClaims = (view: BuyerView, bundle: Bundle, write: Formats): string =>
  page(
    bundle,
    { title: 'Claims', file: 'claims.html', lead: leadOf(view, write), basis: view.basis },
    <>
      {view.claims.map((claim) => (
        <Claim key={claim.id} claim={claim} write={write} />
      ))}
      <Section
        title="Purge and leakers"
        id="bags"
        note="By supplier, and by plant, days from packing to cutting and leaking bag where sheets tell them."
      >
        <DataTable table={bagLossTable(view.bagLosses, write)} />
      </Section>
    </>,
  );

const leadOf = ({ claims }: BuyerView, write: Formats): string => {
  const [first] = claims;
  if (first === undefined) return 'No claim stands out.';
  const paid = first.paid > 0 ? ` for ${write.money(first.paid)} of weight above usual` : '';
  const lots = `${write.count(first.lotsInAll)} ${first.lotsInAll === 1 ? 'lot' : 'lots'}`;
  return `${first.ask}${paid} in ${lots}: name those below first.`;
};

const Claim = ({ claim, write }: { claim: ClaimRead; write: Formats }): VNode => (
  <Section
    title={claim.ask}
    id={`claim-${claim.id}`}
    note="A trade newsletter (secondary copy) calls 1 to 2 % of billed weight usual purge; what is taken for it here is said below. Ask for days since pack."
  >
    <p>{claim.says}</p>
    <p>
      <b>Next step: </b>
      {midSentence(claim.step)}
    </p>
    <Lots claim={claim} write={write} />
  </Section>
);

/** How many of the lots stand here, and how much of the money. */
const captionOf = ({ lots, lotsInAll, paid }: ClaimRead, write: Formats): string => {
  const here = lots.reduce((sum, row) => sum + (Number.isFinite(row.money) ? row.money : 0), 0);
  const money =
    lots.length === lotsInAll || paid === 0 ? '' : `, ${write.money(here)} of ${write.money(paid)} paid`;
  return `${write.count(lots.length)} of ${write.count(lotsInAll)} lots above usual${money}, those of the last 13 weeks first; weight in ${write.unit}, money in ${write.currency}`;
};

const Lots = ({ claim, write }: { claim: ClaimRead; write: Formats }): VNode => (
  <DataTable
    table={{
      id: `lots-${claim.id}`,
      sortable: true,
      caption: captionOf(claim, write),
      columns: columns(
        'Lot',
        'Item',
        'Cut from',
        'to',
        '#Share lost',
        '#Above usual',
        '#Paid for it',
        '#Pieces',
        '#Tests',
      ),
      rows: claim.lots.map((row) => [
        row.lot || 'lot not given',
        row.item,
        dayCell(isoFromDay(row.firstDay), write),
        dayCell(isoFromDay(row.lastDay), write),
        write.percent(row.share),
        Number.isFinite(row.aboveUsualKg) ? write.tenths(row.aboveUsualKg / write.unitKg) : '',
        Number.isFinite(row.money) ? write.cents(row.money) : '',
        Number.isFinite(row.piecesOutside)
          ? `${write.count(row.piecesOutside)} of ${write.count(row.pieces)}`
          : write.count(row.pieces),
        write.count(row.tests),
      ]),
    }}
  />
);
