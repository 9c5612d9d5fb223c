import { chanceBest } from '../../money/chanceBest.ts';
import { deliveredPrice, landedPrice } from '../../money/landedPrice.ts';
import { costPerSaleable } from '../../money/offerAnswer.ts';
import type { QuoteRow } from '../../normalize/normalized.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import type { RankedQuote } from './buyingRows.ts';
import type { Missing } from './missingFor.ts';
import { type Offer, type OfferName, valueCovariance } from './offer.ts';

/** Quotes in force on a day. */
export const openQuotes = (quotes: readonly QuoteRow[], day: number): QuoteRow[] =>
  quotes.filter((quote) => quote.validFrom <= day && !(quote.validTo < day));

/**
 * Quotes by item, the best margin per billed kg first: landed price, cost per saleable kg, margin before and after labor
 * with 95 % intervals, and the chance that each leaves the most of its item's quotes. What cannot be valued comes last.
 */
export const quoteRanking = (
  quotes: readonly QuoteRow[],
  value: (name: OfferName) => Offer,
): RankedQuote[] => {
  const rows = quotes.map((quote) => rankedQuote(quote, value(quote)));
  const items = [...new Set(rows.map((row) => row.item))].sort();
  return items.flatMap((item) => {
    const own = rows.filter((row) => row.item === item);
    const known = own.filter((row) => row.missing === '');
    const chances = chanceBest(
      known.map((row) => row.marginPerBilledKg),
      known.map((a) => known.map((b) => valueCovariance(a.offer, b.offer))),
    );
    const ranked = known.map((row, i) => ({ ...row, chanceBest: chances[i] as number }));
    const order = (a: RankedQuote, b: RankedQuote): number =>
      b.marginPerBilledKg - a.marginPerBilledKg || byName(a, b);
    return [...ranked.sort(order), ...own.filter((row) => row.missing !== '').sort(byName)];
  });
};

const nameOf = (row: RankedQuote): string =>
  [row.supplier, row.plant, row.spec, row.grade, row.weightClass, row.state].join('\u0000');
const byName = (a: RankedQuote, b: RankedQuote): number =>
  nameOf(a) < nameOf(b) ? -1 : nameOf(a) > nameOf(b) ? 1 : 0;

const noFreight: Missing = {
  missing: 'the quote is FOB and its freight is not given',
  remedy: 'enter its freight in reference/quotes.csv',
};

const rankedQuote = (quote: QuoteRow, offer: Offer): RankedQuote => {
  const delivered = deliveredPrice(quote);
  const { missing, remedy } = offer.missing === '' && Number.isNaN(delivered) ? noFreight : offer;
  const margin = offer.value - delivered;
  const reach = z975 * offer.valueSd;
  const cost = costPerSaleable(delivered, offer);
  const costReach = (z975 * cost * offer.saleableSd) / offer.saleable;
  return {
    supplier: quote.supplier,
    plant: quote.plant,
    item: quote.item,
    spec: quote.spec,
    grade: quote.grade,
    weightClass: quote.weightClass,
    state: quote.state,
    basis: quote.basis,
    pricePerKg: quote.pricePerKg,
    deliveredPerKg: delivered,
    landedPerKg: landedPrice(quote, offer.usable.value),
    purgeShare: offer.purgeShare,
    shortShare: offer.shortShare,
    costPerSaleableKg: cost,
    costLow: cost - costReach,
    costHigh: cost + costReach,
    marginPerBilledKg: margin,
    marginLow: margin - reach,
    marginHigh: margin + reach,
    laborPerBilledKg: offer.labor,
    marginAfterLaborPerBilledKg: margin - offer.labor,
    chanceBest: Number.NaN,
    tests: offer.tests,
    assumed: offer.assumed,
    missing,
    remedy,
    validTo: quote.validTo,
    offer,
  };
};
