import { z975 } from '../tables/normalDistribution.ts';

/** What one billed kg of an offer is worth: expected sales value and labor, currency per billed kg. */
export type Worth = { value: number; labor: number };
/** A price with its 95 % interval. */
export type PriceInterval = { price: number; low: number; high: number };

/**
 * Price of range B at which it is worth the same as range A at priceA, both per billed unit of weight. value: expected
 * sales value per billed unit; labor per billed unit. sameMargin: the same margin % of sales; sameDollars: the same
 * money per unit bought after labor. NaN when valueA is not above 0.
 */
export const indifferencePrice = (
  priceA: number,
  rangeA: Worth,
  rangeB: Worth,
): { sameMargin: number; sameDollars: number } => ({
  sameMargin: rangeA.value > 0 ? (priceA * rangeB.value) / rangeA.value : Number.NaN,
  sameDollars: priceA + rangeB.value - rangeA.value - (rangeB.labor - rangeA.labor),
});

/** Variances and covariance of the two expected values, and the variance of the labor difference. */
export type WorthSpread = { varianceA: number; varianceB: number; covariance: number; laborVariance: number };

/**
 * Both indifference prices with 95 % intervals. Same margin: delta method on log(v_B / v_A); same dollars: on v_B - v_A
 * and the labor difference. Price A is known. NaN bounds where a value is not above 0.
 */
export const indifferenceInterval = (
  priceA: number,
  [rangeA, rangeB]: readonly [Worth, Worth],
  spread: WorthSpread,
): { sameMargin: PriceInterval; sameDollars: PriceInterval } => {
  const price = indifferencePrice(priceA, rangeA, rangeB);
  const { varianceA, varianceB, covariance, laborVariance } = spread;
  const ofLog =
    varianceA / rangeA.value ** 2 +
    varianceB / rangeB.value ** 2 -
    (2 * covariance) / (rangeA.value * rangeB.value);
  const isRatio = rangeA.value > 0 && rangeB.value > 0;
  const factor = isRatio ? Math.exp(z975 * Math.sqrt(Math.max(0, ofLog))) : Number.NaN;
  const reach = z975 * Math.sqrt(Math.max(0, varianceA + varianceB - 2 * covariance) + laborVariance);
  return {
    sameMargin: {
      price: price.sameMargin,
      low: price.sameMargin / factor,
      high: price.sameMargin * factor,
    },
    sameDollars: {
      price: price.sameDollars,
      low: price.sameDollars - reach,
      high: price.sameDollars + reach,
    },
  };
};
