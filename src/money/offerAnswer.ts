import { indifferenceInterval, type PriceInterval } from './indifferencePrice.ts';

/** What is expected of an offer per billed kg; NaN = not known. */
export type OfferWorth = {
  value: number;
  labor: number;
  laborSd: number;
  /** Hands-on hours. */
  hours: number;
  /** Share of billed weight left after purge and short weight, and saleable share of billed weight. */
  usable: number;
  saleable: number;
  /** Money of what sells but is not saleable. */
  credit: number;
};

type Labored = Pick<OfferWorth, 'value' | 'labor' | 'laborSd'>;

/** Variances of two offers' values and their covariance. */
export type ValueSpread = { varianceA: number; varianceB: number; covariance: number };

/** Cost per saleable kg of an offer at a delivered price: (cost - credit of what sells but is not saleable) / saleable. */
export const costPerSaleable = (
  deliveredPerKg: number,
  { credit, saleable }: Pick<OfferWorth, 'credit' | 'saleable'>,
): number => (saleable > 0 ? (deliveredPerKg - credit) / saleable : Number.NaN);

/** An offer with its labor at another rate per hour than the one it was computed at. */
export const atLaborRate = <Offer extends OfferWorth>(
  offer: Offer,
  rate: number,
  usedRate: number,
): Offer => ({
  ...offer,
  labor: offer.hours * rate,
  laborSd: usedRate > 0 ? (offer.laborSd * rate) / usedRate : 0,
});

/**
 * What offer B is worth when A is delivered at priceA, in both forms with 95 % intervals. Labor counts where it is known
 * of both; of offers judged by the same tests its difference is certain.
 */
export const offerAnswer = (
  priceA: number,
  [a, b]: readonly [Labored, Labored],
  spread: ValueSpread,
): { sameMargin: PriceInterval; sameDollars: PriceInterval; isLaborKnown: boolean } => {
  const isLaborKnown = Number.isFinite(a.labor) && Number.isFinite(b.labor);
  const worth = (offer: Labored) => ({ value: offer.value, labor: isLaborKnown ? offer.labor : 0 });
  const laborVariance =
    !isLaborKnown || a.labor === b.labor ? 0 : (a.laborSd || 0) ** 2 + (b.laborSd || 0) ** 2;
  return {
    ...indifferenceInterval(priceA, [worth(a), worth(b)], { ...spread, laborVariance }),
    isLaborKnown,
  };
};
