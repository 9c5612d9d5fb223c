import type { PriceInterval } from './indifferencePrice.ts';

/** How prices are said: locale, ISO 4217 currency, unit of weight, and kilograms in one unit. */
export type PriceTongue = { language: string; currency: string; unit: string; kgPerUnit: number };

const amount = (pricePerKg: number, { language, kgPerUnit }: PriceTongue): string =>
  new Intl.NumberFormat(language, { minimumFractionDigits: 2, maximumFractionDigits: 2 }).format(
    pricePerKg * kgPerUnit,
  );

/**
 * What a buyer can say on the phone: what range `to` is worth up to when `from` costs priceFrom. All prices per billed kg,
 * delivered; said in the chain's unit with two decimals.
 */
export const indifferenceSentence = (
  ranges: { from: string; to: string },
  priceFrom: number,
  worth: PriceInterval,
  tongue: PriceTongue,
): string =>
  `At ${amount(priceFrom, tongue)} for ${ranges.from}, the ${ranges.to} is worth up to ${amount(worth.price, tongue)}, between ${amount(worth.low, tongue)} and ${amount(worth.high, tongue)} (${tongue.currency} per ${tongue.unit} billed, delivered).`;
