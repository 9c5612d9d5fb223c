import type { RejectCode } from '../faults/rejectCodes.ts';
import { dayFromCivil, isoFromDay } from '../units/calendarDay.ts';
import type { CellFormats } from './cellFormats.ts';
import type { SchemaField } from './ingested.ts';

export type CellFault = { code: RejectCode; expected: string };
export type TypedCell = { value: string | number } | CellFault;

// biome-ignore lint/suspicious/noControlCharactersInRegex: finding control characters is what it is for
const forbidden = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f\u202a-\u202e\u2066-\u2069]/;

/** A cell as its column's type: number, day number or text; blank gives NaN or ''. Never guesses from the cell itself. */
export const typedCell = (
  raw: string,
  field: SchemaField,
  formats: CellFormats,
  asOfDay: number,
): TypedCell => {
  if (forbidden.test(raw)) return { code: 'control-character', expected: 'visible characters only' };
  const text = raw.trim();
  if (text === '') {
    if (field.constraints?.required)
      return { code: 'value-missing', expected: `a ${field.type} in ${field.name}` };
    return { value: field.type === 'string' ? '' : Number.NaN };
  }
  if (field.type === 'string') return chosen(text, field);
  return field.type === 'date'
    ? day(text, formats.dates, asOfDay, field.name)
    : number(text, field, formats.decimal);
};

const chosen = (text: string, field: SchemaField): TypedCell => {
  const allowed = field.constraints?.enum;
  const value = text.normalize('NFC');
  if (allowed === undefined) return { value };
  const match = allowed.find((choice) => choice.toLowerCase() === value.toLowerCase());
  return match === undefined
    ? { code: 'choice-invalid', expected: `one of ${allowed.join(', ')}` }
    : { value: match };
};

const number = (text: string, field: SchemaField, decimal: '.' | ','): TypedCell => {
  const value = poundsAndOunces(text) ?? plainNumber(text, decimal);
  if (Number.isNaN(value))
    return {
      code: 'number-invalid',
      expected: `a number with decimal ${decimal === '.' ? 'point' : 'comma'}`,
    };
  if (field.type === 'integer' && !Number.isInteger(value))
    return { code: 'number-invalid', expected: 'a whole number' };
  const { minimum, exclusiveMinimum, maximum } = field.constraints ?? {};
  if (minimum !== undefined && value < minimum)
    return { code: 'number-out-of-range', expected: `at least ${minimum}` };
  if (exclusiveMinimum !== undefined && value <= exclusiveMinimum)
    return { code: 'number-out-of-range', expected: `more than ${exclusiveMinimum}` };
  return maximum !== undefined && value > maximum
    ? { code: 'number-out-of-range', expected: `at most ${maximum}` }
    : { value };
};

/** `38-12` is 38 pounds 12 ounces, in pounds. undefined when the text is not of that form. */
const poundsAndOunces = (text: string): number | undefined => {
  const parts = /^(\d+)-(\d{1,2}(?:\.\d+)?)$/.exec(text);
  if (parts === null) return undefined;
  const ounces = Number(parts[2]);
  return ounces < 16 ? Number(parts[1]) + ounces / 16 : Number.NaN;
};

const plainNumber = (text: string, decimal: '.' | ','): number => {
  const thousands = decimal === '.' ? ',' : '.';
  const bare = text.replace(/(?<=\d)[ \u00a0\u202f'\u2019](?=\d{3}(?!\d))/g, '');
  const grouped = new RegExp(`^[-+]?\\d{1,3}(?:\\${thousands}\\d{3})+(?:\\${decimal}\\d+)?$`);
  const ungrouped = grouped.test(bare) ? bare.replaceAll(thousands, '') : bare;
  return new RegExp(`^[-+]?(?:\\d+(?:\\${decimal}\\d*)?|\\${decimal}\\d+)$`).test(ungrouped)
    ? Number(ungrouped.replace(decimal, '.'))
    : Number.NaN;
};

const day = (text: string, order: 'ymd' | 'mdy' | 'dmy', asOfDay: number, name: string): TypedCell => {
  const iso = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$/.exec(text);
  const slashed = /^(\d{1,2})[./-](\d{1,2})[./-](\d{4})$/.exec(text);
  let value = Number.NaN;
  if (iso !== null) value = dayFromCivil(Number(iso[1]), Number(iso[2]), Number(iso[3]));
  else if (slashed !== null && order !== 'ymd') {
    const [first, second, year] = [Number(slashed[1]), Number(slashed[2]), Number(slashed[3])];
    value = order === 'dmy' ? dayFromCivil(year, second, first) : dayFromCivil(year, first, second);
  }
  if (Number.isNaN(value)) {
    const hint = /^\d{5}$/.test(text)
      ? '; this looks like a spreadsheet serial number'
      : /[./-]\d{2}$/.test(text)
        ? '; a year has four digits'
        : '';
    return { code: 'date-invalid', expected: `a date such as 2026-11-23${hint}` };
  }
  const mayBeAhead = name.startsWith('valid_');
  return value > asOfDay && !mayBeAhead
    ? { code: 'date-future', expected: `a day up to ${isoFromDay(asOfDay)}` }
    : { value };
};
