import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import { costPerSaleable } from '../../money/offerAnswer.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import type { RangeRow, RankedQuote } from './buyingRows.ts';
import type { Offer, OfferName } from './offer.ts';

/**
 * Every weight range of every item and grade tested: saleable share of billed weight, value, and at the best open quote
 * for it the cost per saleable kg and the margin after labor. Ranges that cannot be valued say what is missing.
 */
export const rangeRows = (
  used: readonly MeasuredTest[],
  quotes: readonly RankedQuote[],
  value: (name: OfferName) => Offer,
  chain: Chain,
): RangeRow[] => {
  const tested = new Map<string, Set<string>>();
  for (const test of used) {
    const key = `${test.item}\u0000${test.spec}`;
    tested.set(key, (tested.get(key) ?? new Set()).add(test.grade));
  }
  return chain.items.flatMap((entry) =>
    [...(tested.get(`${entry.item}\u0000${entry.spec}`) ?? [])].sort().flatMap((grade) =>
      entry.weight_classes.map((range) => {
        const name = { item: entry.item, spec: entry.spec, grade, weightClass: range.name };
        return rangeRow(name, quotes, value);
      }),
    ),
  );
};

const rangeRow = (
  name: Pick<OfferName, 'item' | 'spec' | 'grade' | 'weightClass'>,
  quotes: readonly RankedQuote[],
  value: (name: OfferName) => Offer,
): RangeRow => {
  const best = quotes.find(
    (quote) =>
      quote.missing === '' &&
      quote.item === name.item &&
      quote.spec === name.spec &&
      quote.grade === name.grade &&
      quote.weightClass === name.weightClass,
  );
  const offer = best?.offer ?? value({ ...name, supplier: '', state: 'fresh' });
  const delivered = best?.deliveredPerKg ?? Number.NaN;
  const cost = (saleable: number): number => costPerSaleable(delivered, { ...offer, saleable });
  const [reach, mainCutReach] = [z975 * offer.saleableSd, z975 * offer.mainCutSd];
  const margin = offer.value - delivered - offer.labor;
  const marginReach = z975 * Math.hypot(offer.valueSd, offer.laborSd);
  return {
    ...name,
    tests: offer.tests,
    pieceKg: offer.pieceKg,
    saleable: offer.saleable,
    low: offer.saleable - reach,
    high: offer.saleable + reach,
    mainCut: offer.mainCut,
    mainCutLow: offer.mainCut - mainCutReach,
    mainCutHigh: offer.mainCut + mainCutReach,
    valuePerBilledKg: offer.value,
    supplier: best?.supplier ?? '',
    deliveredPerKg: delivered,
    costPerSaleableKg: cost(offer.saleable),
    costLow: cost(offer.saleable + reach),
    costHigh: cost(offer.saleable - reach),
    marginAfterLaborPerBilledKg: margin,
    marginLow: margin - marginReach,
    marginHigh: margin + marginReach,
    missing: offer.missing,
  };
};
