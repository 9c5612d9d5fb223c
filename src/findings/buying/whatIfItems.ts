import type { Chain } from '../../catalog/chain.ts';
import type { RankedQuote, WhatIfItem } from './buyingRows.ts';
import { rangesNotQuoted } from './indifferenceRows.ts';
import { type Offer, type OfferName, valueCovariance } from './offer.ts';

/** More offers of one item would make a page of their covariances. */
const mostOffers = 60;

/** Per item with an open quote, what can be valued: the quotes, best first, and the ranges of the same suppliers; at most 60. */
export const whatIfItems = (
  quotes: readonly RankedQuote[],
  value: (name: OfferName) => Offer,
  chain: Chain,
): WhatIfItem[] => {
  const known = quotes.filter((quote) => quote.missing === '');
  return [...new Set(known.map((quote) => quote.item))].sort().flatMap((item): WhatIfItem[] => {
    const offers = offersOf(
      known.filter((quote) => quote.item === item),
      quotes,
      { value, chain },
    );
    if (offers.length < 2) return [];
    return [
      {
        item,
        name: chain.items.find((entry) => entry.item === item)?.name ?? item,
        offers: offers.map(({ offer, deliveredPerKg }) => ({
          parts: [offer.weightClass, offer.spec, offer.grade, offer.state, offer.supplier],
          value: offer.value,
          labor: offer.labor,
          laborSd: offer.laborSd,
          hours: offer.hours,
          usable: offer.usable.value,
          saleable: offer.saleable,
          credit: offer.credit,
          deliveredPerKg,
        })),
        covariance: offers.map((a) => offers.map((b) => valueCovariance(a.offer, b.offer))),
      },
    ];
  });
};

type Choice = { offer: Offer; deliveredPerKg: number };

const offersOf = (
  own: readonly RankedQuote[],
  quotes: readonly RankedQuote[],
  { value, chain }: { value: (name: OfferName) => Offer; chain: Chain },
): Choice[] => {
  const keyOf = (name: OfferName): string =>
    JSON.stringify([name.supplier, name.spec, name.grade, name.weightClass, name.state]);
  const found = new Map<string, Choice>();
  for (const quote of own)
    if (!found.has(keyOf(quote)))
      found.set(keyOf(quote), { offer: quote.offer, deliveredPerKg: quote.deliveredPerKg });
  for (const quote of own)
    for (const name of rangesNotQuoted(quote, quotes, chain)) {
      const offer = value(name);
      if (offer.missing === '' && !found.has(keyOf(name)))
        found.set(keyOf(name), { offer, deliveredPerKg: Number.NaN });
    }
  return [...found.keys()]
    .slice(0, mostOffers)
    .sort()
    .map((key) => found.get(key) as Choice);
};
