import type { Chain } from '../../catalog/chain.ts';
import { dayFromIso } from '../../units/calendarDay.ts';
import { countedTests } from '../../units/counted.ts';
import { kilogramsPer } from '../../units/weight.ts';

/** How numbers and days are written on the pages of one chain. Missing numbers are written as `not known`. */
export type Formats = {
  unit: 'lb' | 'kg';
  currency: string;
  /** Kilograms in one unit of the pages. */
  unitKg: number;
  /** Money without cents from 10 up, with cents below. */
  money: (value: number) => string;
  /** Amounts written alike: all with cents, or none. */
  moneyAlike: (...values: number[]) => string[];
  /** Two amounts written alike: `$8 to $22`. */
  moneyRange: (low: number, high: number) => string;
  /** Money to the cent. */
  cents: (value: number) => string;
  /** What a cent is in this currency: the smallest step that `cents` writes. */
  centStep: number;
  /** Points or per cent with one decimal. */
  tenths: (value: number) => string;
  /** Points with their sign. */
  signed: (value: number) => string;
  /** A fraction (0-1) as per cent with one decimal. */
  percent: (fraction: number) => string;
  /** A chance (0-1) as whole per cent; what rounds to none or all is written as under 1 or over 99. */
  chance: (fraction: number) => string;
  count: (value: number) => string;
  /** A number of tests: `1 test`, `1,200 tests`. */
  tests: (value: number) => string;
  range: (low: number, high: number, write: (value: number) => string) => string;
  /** A day `2026-11-23` as its readers write it; '' stays ''. */
  day: (iso: string) => string;
  /** A month `2026-11` in few letters. */
  month: (iso: string) => string;
};

const unknown = 'not known';
const wholeFrom = 10;
const msPerDay = 86_400_000;

/** The formats of a chain: its language, currency and unit. */
export const formats = (chain: Pick<Chain, 'language' | 'currency' | 'unit'>): Formats => {
  const { language, currency, unit } = chain;
  const number = (options: Intl.NumberFormatOptions): ((value: number) => string) => {
    const format = new Intl.NumberFormat(language, { signDisplay: 'negative', ...options });
    // a true minus, as on the axes of the charts
    return (value) =>
      Number.isFinite(value) ? format.format(value === 0 ? 0 : value).replace('-', '\u2212') : unknown;
  };
  const dated = (options: Intl.DateTimeFormatOptions): ((iso: string) => string) => {
    const format = new Intl.DateTimeFormat(language, { ...options, timeZone: 'UTC' });
    return (iso) => {
      const day = dayFromIso(iso);
      return Number.isNaN(day) ? iso : format.format(day * msPerDay);
    };
  };
  const cents = number({ style: 'currency', currency });
  const whole = number({ style: 'currency', currency, maximumFractionDigits: 0, minimumFractionDigits: 0 });
  const tenths = number({ minimumFractionDigits: 1, maximumFractionDigits: 1 });
  const count = number({ maximumFractionDigits: 0 });
  const isWhole = (...values: number[]): boolean => values.some((value) => Math.abs(value) >= wholeFrom);
  const moneyAlike = (...values: number[]): string[] => values.map(isWhole(...values) ? whole : cents);
  const month = dated({ year: 'numeric', month: 'short' });
  return {
    unit,
    currency,
    unitKg: kilogramsPer(unit),
    money: (value) => (isWhole(value) ? whole(value) : cents(value)),
    moneyAlike,
    moneyRange: (low, high) => moneyAlike(low, high).join(' to '),
    cents,
    centStep:
      10 **
      -(
        new Intl.NumberFormat(language, { style: 'currency', currency }).resolvedOptions()
          .maximumFractionDigits ?? 2
      ),
    tenths,
    signed: number({ minimumFractionDigits: 1, maximumFractionDigits: 1, signDisplay: 'exceptZero' }),
    percent: (fraction) => (Number.isFinite(fraction) ? `${tenths(fraction * 100)} %` : unknown),
    chance: (fraction) => chanceText(fraction, count),
    count,
    tests: (value) => countedTests(value, count),
    range: (low, high, write) => `${write(low)} to ${write(high)}`,
    day: dated({ dateStyle: 'medium' }),
    month: (iso) => month(`${iso}-01`),
  };
};

const chanceText = (fraction: number, count: (value: number) => string): string => {
  if (!Number.isFinite(fraction)) return unknown;
  if (fraction < 0.005) return 'under 1 %';
  return fraction > 0.995 ? 'over 99 %' : `${count(fraction * 100)} %`;
};
