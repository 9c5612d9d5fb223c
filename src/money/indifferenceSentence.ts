import type { PriceInterval } from './indifferencePrice.ts';

/** How prices are said: locale, ISO 4217 currency, unit of weight, and kilograms in one unit. */
export type PriceTongue = { language: string; currency: string; unit: string; kgPerUnit: number };

/** A price per kg as it is said in the chain's currency and unit: `$9.20`. NaN is not known. */
export const amountText = (pricePerKg: number, { language, currency, kgPerUnit }: PriceTongue): string =>
  Number.isFinite(pricePerKg)
    ? new Intl.NumberFormat(language, { style: 'currency', currency })
        .format(pricePerKg * kgPerUnit)
        .replace('-', '\u2212')
    : 'not known';

/**
 * What a buyer can say on the phone: what range `to` is worth up to when `from` costs priceFrom. All prices per billed kg,
 * delivered; said in the chain's currency and unit.
 */
export const indifferenceSentence = (
  ranges: { from: string; to: string },
  priceFrom: number,
  worth: PriceInterval,
  tongue: PriceTongue,
): string =>
  `At ${amountText(priceFrom, tongue)} per ${tongue.unit} for ${ranges.from}, the ${ranges.to} is worth up to ${amountText(worth.price, tongue)} (${amountText(worth.low, tongue)} to ${amountText(worth.high, tongue)}), delivered.`;
