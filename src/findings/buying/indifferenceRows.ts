import type { Chain } from '../../catalog/chain.ts';
import { itemEntry } from '../../catalog/itemEntry.ts';
import { indifferenceSentence } from '../../money/indifferenceSentence.ts';
import { offerAnswer } from '../../money/offerAnswer.ts';
import { turningPoint } from '../../money/turningPoint.ts';
import { kilogramsPer } from '../../units/weight.ts';
import type { IndifferenceRow, RankedQuote } from './buyingRows.ts';
import { type Offer, type OfferName, valueCovariance } from './offer.ts';

const mostOffers = 30;

/**
 * What each other range is worth at every open quote: against all other quotes of the item (where it has more than 30, the
 * best 30 of the same spec and grade) and the ranges of the same supplier and grade that are not quoted.
 */
export const indifferenceRows = (
  quotes: readonly RankedQuote[],
  value: (name: OfferName) => Offer,
  chain: Chain,
): IndifferenceRow[] =>
  quotes
    .filter((quote) => quote.missing === '')
    .flatMap((from) => {
      const own = quotes.filter((quote) => quote.item === from.item && quote !== from);
      const others =
        own.length < mostOffers
          ? own
          : own
              .filter((quote) => quote.spec === from.spec && quote.grade === from.grade)
              .slice(0, mostOffers);
      const quoted = others.map((to) => rowOf(from, to.offer, to.deliveredPerKg, chain));
      const unquoted = rangesNotQuoted(from, quotes, chain).map((to) =>
        rowOf(from, value(to), Number.NaN, chain),
      );
      return [...quoted, ...unquoted];
    });

/** Ranges of the item, from the supplier and in the grade of a quote, for which that supplier has no open quote. */
export const rangesNotQuoted = (
  { supplier, item, spec, grade, state }: OfferName,
  quotes: readonly RankedQuote[],
  chain: Chain,
): OfferName[] =>
  (itemEntry(chain, { item, spec })?.weight_classes ?? [])
    .map((range) => ({ supplier, item, spec, grade, weightClass: range.name, state }))
    .filter(
      (name) =>
        !quotes.some(
          (quote) =>
            quote.supplier === name.supplier &&
            quote.item === name.item &&
            quote.spec === name.spec &&
            quote.grade === name.grade &&
            quote.state === name.state &&
            quote.weightClass === name.weightClass,
        ),
    );

/** How an offer is called beside another: the range, and whatever else differs. */
const offerLabel = (offer: OfferName, beside: OfferName): string =>
  [
    offer.weightClass,
    ...(['spec', 'grade', 'state', 'supplier'] as const)
      .filter((part) => offer[part] !== beside[part] && offer[part] !== '')
      .map((part) => offer[part]),
  ].join(' ');

const rowOf = (quote: RankedQuote, to: Offer, priceToPerKg: number, chain: Chain): IndifferenceRow => {
  const from = quote.offer;
  const price = quote.deliveredPerKg;
  const found = offerAnswer(price, [from, to], {
    varianceA: from.valueSd ** 2,
    varianceB: to.valueSd ** 2,
    covariance: valueCovariance(from, to),
  });
  const turned = turningPoint(
    { margin: from.value - price, hours: from.hours, outputShare: from.mainCut },
    { margin: to.value - priceToPerKg, hours: to.hours, outputShare: to.mainCut },
    chain.labor_per_hour,
  );
  // a price that would have to move by more than half its height turns nothing
  const halfPrice = (0.5 * from.value) / from.saleable;
  return {
    item: from.item,
    from,
    to,
    priceFromPerKg: price,
    ...found,
    priceToPerKg,
    turningLaborRate: turned.laborRate,
    turningMainCutPrice: Math.abs(turned.priceChange) < halfPrice ? turned.priceChange : Number.NaN,
    sentence:
      to.missing === ''
        ? indifferenceSentence(
            { from: offerLabel(from, to), to: offerLabel(to, from) },
            price,
            found.sameMargin,
            {
              language: chain.language,
              currency: chain.currency,
              unit: chain.unit,
              kgPerUnit: kilogramsPer(chain.unit),
            },
          )
        : '',
    missing: to.missing,
  };
};
