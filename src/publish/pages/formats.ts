import type { Chain } from '../../catalog/chain.ts';
import { kgPerLb } from '../../units/weight.ts';

/** How numbers are written on the pages of one chain. Missing numbers are written as `not known`. */
export type Formats = {
  unit: 'lb' | 'kg';
  currency: string;
  /** Kilograms in one unit of the pages. */
  unitKg: number;
  /** Money without cents from 20 up, with cents below. */
  money: (value: number) => string;
  /** Money to the cent. */
  cents: (value: number) => string;
  /** Points or per cent with one decimal. */
  tenths: (value: number) => string;
  /** Points with their sign. */
  signed: (value: number) => string;
  /** A fraction (0-1) as per cent with one decimal. */
  percent: (fraction: number) => string;
  count: (value: number) => string;
  range: (low: number, high: number, write: (value: number) => string) => string;
};

const unknown = 'not known';
const wholeFrom = 20;

/** The formats of a chain: its language, currency and unit. */
export const formats = (chain: Pick<Chain, 'language' | 'currency' | 'unit'>): Formats => {
  const { language, currency, unit } = chain;
  const number = (options: Intl.NumberFormatOptions): ((value: number) => string) => {
    const format = new Intl.NumberFormat(language, options);
    return (value) => (Number.isFinite(value) ? format.format(value === 0 ? 0 : value) : unknown);
  };
  const cents = number({ style: 'currency', currency });
  const whole = number({ style: 'currency', currency, maximumFractionDigits: 0, minimumFractionDigits: 0 });
  const tenths = number({ minimumFractionDigits: 1, maximumFractionDigits: 1 });
  return {
    unit,
    currency,
    unitKg: unit === 'lb' ? kgPerLb : 1,
    money: (value) => (Math.abs(value) >= wholeFrom ? whole(value) : cents(value)),
    cents,
    tenths,
    signed: number({ minimumFractionDigits: 1, maximumFractionDigits: 1, signDisplay: 'exceptZero' }),
    percent: (fraction) => (Number.isFinite(fraction) ? `${tenths(fraction * 100)} %` : unknown),
    count: number({ maximumFractionDigits: 0 }),
    range: (low, high, write) => `${write(low)} to ${write(high)}`,
  };
};
