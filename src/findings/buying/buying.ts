import type { QuoteRow } from '../../normalize/normalized.ts';
import { bagLosses } from './bagLosses.ts';
import type { BuyingNight } from './buyingRows.ts';
import { indifferenceRows } from './indifferenceRows.ts';
import { type OfferInput, offerSource } from './offerSource.ts';
import { offerValuer } from './offers.ts';
import { openQuotes, quoteRanking } from './quoteRanking.ts';
import { rangeRows } from './rangeRows.ts';
import { whatIfItems } from './whatIfItems.ts';
import { yieldByWeight } from './yieldByWeight.ts';

/** What to buy tonight: open quotes ranked, what each range is worth at them, every range, and what the what-if needs. */
export const buying = (input: OfferInput, quotes: readonly QuoteRow[], asOfDay: number): BuyingNight => {
  const source = offerSource(input);
  const value = offerValuer(source);
  const ranked = quoteRanking(openQuotes(quotes, asOfDay), value);
  return {
    quotes: ranked,
    indifference: indifferenceRows(ranked, value, input.chain),
    ranges: rangeRows(input.used, ranked, value, input.chain),
    whatIf: whatIfItems(ranked, value, input.chain),
    bagLosses: bagLosses(input.used),
    byWeight: yieldByWeight(source, ranked),
  };
};
