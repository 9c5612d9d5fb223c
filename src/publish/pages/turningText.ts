import type { Chain } from '../../catalog/chain.ts';
import type { IndifferenceRow, RankedQuote } from '../../findings/buying/buyingRows.ts';
import type { Formats } from './formats.ts';

type Told = { chain: Chain; write: Formats; named: (quote: RankedQuote) => string };

/** A labor rate beyond so many times today's is no answer to what would turn a choice. */
const farRate = 5;

/**
 * What would turn the choice between the first quote of an item and the second, in words: the labor rate, and the price of
 * the main cut. '' without two quotes.
 */
export const turningText = (
  own: readonly RankedQuote[],
  rows: readonly IndifferenceRow[],
  { chain, write, named }: Told,
): string => {
  const [first, second] = own;
  const row = rows.find((one) => one.from === first?.offer && one.to === second?.offer);
  if (first === undefined || second === undefined || row === undefined) return '';
  const isKnown = row.isLaborKnown;
  const margin = (quote: RankedQuote): number =>
    isKnown ? quote.marginAfterLaborPerBilledKg : quote.marginPerBilledKg;
  const gap = margin(first) - margin(second);
  const [ahead, behind] = gap >= 0 ? [first, second] : [second, first];
  const labor = isKnown
    ? `After labor at ${write.cents(chain.labor_per_hour)} an hour`
    : 'Before labor, which is not known,';
  return [
    `${labor} ${named(ahead)} leaves ${write.cents(Math.abs(gap) * write.unitKg)} more per billed ${write.unit} than ${named(behind)}.`,
    isKnown ? laborText(row.turningLaborRate, chain, write) : '',
    priceText(row.turningMainCutPrice, first, { chain, write }),
  ]
    .filter((text) => text !== '')
    .join(' ');
};

const laborText = (rate: number, chain: Chain, write: Formats): string =>
  rate <= farRate * chain.labor_per_hour
    ? `The choice turns where labor costs ${write.cents(rate)} an hour.`
    : 'No labor rate near today’s turns the choice.';

const priceText = (change: number, quote: RankedQuote, { chain, write }: Omit<Told, 'named'>): string => {
  const main = chain.methods.find(
    (one) => one.item === quote.item && one.method === quote.offer.method,
  )?.main;
  const cut = main === undefined ? 'the main cut' : main.join(' and ');
  return Number.isFinite(change)
    ? `It turns where ${cut} sells for ${write.cents(Math.abs(change) * write.unitKg)} ${change > 0 ? 'more' : 'less'} per ${write.unit}.`
    : `No price of ${cut} within half of today’s turns it.`;
};
