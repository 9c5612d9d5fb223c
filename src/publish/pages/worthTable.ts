import type { IndifferenceRow } from '../../findings/buying/buyingRows.ts';
import type { Offer } from '../../findings/buying/offer.ts';
import type { PriceInterval } from '../../money/indifferencePrice.ts';
import { columns, type Table } from './dataTable.tsx';
import type { Formats } from './formats.ts';

const mostRows = 60;

const called = (offer: Offer): string =>
  [
    [offer.weightClass, offer.spec, offer.grade].filter((part) => part !== '').join(' '),
    offer.supplier,
    ...(offer.state === 'frozen' ? ['frozen'] : []),
  ].join(', ');

/** What each other offer of an item is worth at every open quote, in both forms; the first 60 pairs. */
export const worthTable = (item: string, rows: readonly IndifferenceRow[], write: Formats): Table => {
  const answered = rows.filter((row) => row.missing === '');
  const per = (perKg: number): string => write.cents(perKg * write.unitKg);
  const interval = ({ price, low, high }: PriceInterval): string =>
    `${per(price)} (${per(low)} to ${per(high)})`;
  const after = answered.every((row) => row.isLaborKnown)
    ? 'after labor'
    : 'before labor where it is not known';
  return {
    caption: `${item}: worth at most, ${write.currency} per billed ${write.unit} delivered; in brackets the 95 % interval`,
    columns: columns(
      'Quoted',
      '#At',
      'The other',
      '#Same margin %',
      `#Same money per ${write.unit}, ${after}`,
      '#Quoted at',
    ),
    rows: answered
      .slice(0, mostRows)
      .map((row) => [
        called(row.from),
        per(row.priceFromPerKg),
        called(row.to),
        interval(row.sameMargin),
        interval(row.sameDollars),
        Number.isFinite(row.priceToPerKg) ? per(row.priceToPerKg) : 'not quoted',
      ]),
  };
};
