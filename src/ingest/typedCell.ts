import type { RejectCode } from '../faults/rejectCodes.ts';
import { dayFromCivil, isoFromDay } from '../units/calendarDay.ts';
import { type CellFormats, shortDate } from './cellFormats.ts';
import { damagedText } from './damagedText.ts';
import { hasForbiddenCharacter } from './forbiddenCharacters.ts';
import type { Cell, SchemaField } from './ingested.ts';
import { shortNumber } from './shortNumber.ts';

export type CellFault = { code: RejectCode; expected: string };
export type TypedCell = { value: Cell } | CellFault;

/** `unit` is the row's unit of weight ('' where the table has none): pounds and ounces are read only under lb-oz. */
export type CellSetting = { formats: CellFormats; asOfDay: number; unit: string };

/** A cell as its column's type: number, day number or text; blank gives NaN or ''. Never guesses from the cell itself. */
export const typedCell = (raw: string, field: SchemaField, setting: CellSetting): TypedCell => {
  const isNumber = field.type === 'number' || field.type === 'integer';
  const short = isNumber && setting.unit !== 'lb-oz' ? shortNumber(raw, setting.formats.decimal) : Number.NaN;
  return Number.isNaN(short) ? carefully(raw, field, setting) : inRange(short, field);
};

const carefully = (raw: string, field: SchemaField, setting: CellSetting): TypedCell => {
  if (hasForbiddenCharacter(raw, field.name === 'note'))
    return { code: 'control-character', expected: 'visible characters only' };
  const text = raw.trim();
  if (text === '') {
    if (field.constraints?.required)
      return { code: 'value-missing', expected: `${typeNames[field.type]} in ${field.name}` };
    return { value: field.type === 'string' ? '' : Number.NaN };
  }
  if (field.type === 'string') {
    const expected = field.name === 'note' ? '' : damagedText(text, field.name);
    return expected === '' ? chosen(text, field) : { code: 'text-damaged', expected };
  }
  return field.type === 'date' ? day(text, field.name, setting) : number(text, field, setting);
};

const typeNames: Record<SchemaField['type'], string> = {
  string: 'a text',
  number: 'a number',
  integer: 'a whole number',
  date: 'a date',
};

/** Space inside a text that looks like one space: no-break spaces, and two in a row. */
const otherSpace = /[^\S ]\s*|\s{2,}/g;

const chosen = (text: string, field: SchemaField): TypedCell => {
  const allowed = field.constraints?.enum;
  const value = (field.name === 'note' ? text : text.replace(otherSpace, ' ')).normalize('NFC');
  if (allowed === undefined) return { value };
  const match = allowed.find((choice) => choice.toLowerCase() === value.toLowerCase());
  return match === undefined
    ? { code: 'choice-invalid', expected: `one of ${allowed.join(', ')}` }
    : { value: match };
};

const number = (text: string, field: SchemaField, { formats, unit }: CellSetting): TypedCell => {
  const isPoundsAndOunces = unit === 'lb-oz' && field.name.endsWith('weight');
  const value = isPoundsAndOunces ? poundsAndOunces(text) : plainNumber(text, formats);
  if (Number.isNaN(value))
    return { code: 'number-invalid', expected: numberHint(text, isPoundsAndOunces, formats) };
  return inRange(value, field);
};

const inRange = (value: number, field: SchemaField): TypedCell => {
  if (field.type === 'integer' && !Number.isSafeInteger(value))
    return { code: 'number-invalid', expected: 'a whole number' };
  const { minimum, exclusiveMinimum, maximum } = field.constraints ?? {};
  if (minimum !== undefined && value < minimum)
    return { code: 'number-out-of-range', expected: `at least ${minimum}` };
  if (exclusiveMinimum !== undefined && value <= exclusiveMinimum)
    return { code: 'number-out-of-range', expected: `more than ${exclusiveMinimum}` };
  return maximum !== undefined && value > maximum
    ? { code: 'number-out-of-range', expected: `at most ${maximum}` }
    : { value: value + 0 };
};

const numberHint = (text: string, isPoundsAndOunces: boolean, formats: CellFormats): string => {
  if (isPoundsAndOunces) return 'pounds and ounces such as 38-12, as the unit is lb-oz';
  if (/^\d+-\d+/.test(text)) return 'a number; pounds and ounces such as 38-12 need the unit lb-oz';
  return `a number with decimal ${formats.decimal === '.' ? 'point' : 'comma'} and nothing else in the cell`;
};

/** `38-12` is 38 pounds 12 ounces, `38` is 38 pounds; in pounds. NaN when the text is neither. */
const poundsAndOunces = (text: string): number => {
  const parts = /^(\d{1,6})(?:-(\d{1,2}(?:\.\d+)?))?$/.exec(text);
  if (parts === null) return Number.NaN;
  const ounces = Number(parts[2] ?? 0);
  return ounces < 16 ? Number(parts[1]) + ounces / 16 : Number.NaN;
};

/**
 * Digits with a decimal mark; groups of three by the other mark, or by one kind of space or apostrophe. Programs that write a
 * double in full need up to 17 decimals and a few zeros before them.
 */
const plain = {
  '.': /^[-+]?(?:\d{1,15}(?:\.\d{0,20})?|\.\d{1,20})$/,
  ',': /^[-+]?(?:\d{1,15}(?:,\d{0,20})?|,\d{1,20})$/,
};
const grouped = {
  '.': /^[-+]?\d{1,3}([,' \u00a0\u202f\u2019])\d{3}(?:\1\d{3}){0,3}(?:\.\d{1,20})?$/,
  ',': /^[-+]?\d{1,3}([.' \u00a0\u202f\u2019])\d{3}(?:\1\d{3}){0,3}(?:,\d{1,20})?$/,
};

const plainNumber = (text: string, { decimal, isMixed }: CellFormats): number => {
  if (plain[decimal].test(text)) return Number(decimal === ',' ? text.replace(',', '.') : text);
  const mark = grouped[decimal].exec(text)?.[1];
  if (mark === undefined || (isMixed && (mark === '.' || mark === ','))) return Number.NaN;
  const ungrouped = text.replaceAll(mark, '');
  return Number(decimal === ',' ? ungrouped.replace(',', '.') : ungrouped);
};

/** No cutting test is older; an earlier day is a slip of the pen. */
const firstDay = dayFromCivil(2000, 1, 1);

const day = (text: string, name: string, { formats, asOfDay }: CellSetting): TypedCell => {
  const iso = /^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?:[T ]00:00(?::00(?:\.0+)?)?)?$/.exec(text);
  const short = shortDate.exec(text);
  let value = Number.NaN;
  if (iso !== null) value = dayFromCivil(Number(iso[1]), Number(iso[3]), Number(iso[4]));
  else if (short !== null) {
    const [first, second, year] = [Number(short[1]), Number(short[3]), Number(short[4])];
    const isSame = first === second;
    if (formats.dates === 'dmy') value = dayFromCivil(year, second, first);
    else if (formats.dates === 'mdy' || isSame) value = dayFromCivil(year, first, second);
  }
  if (Number.isNaN(value))
    return { code: 'date-invalid', expected: `a date such as 2026-11-23${dayHint(text)}` };
  if (value < firstDay) return { code: 'date-invalid', expected: 'a day since 2000-01-01' };
  const mayBeAhead = name.startsWith('valid_');
  return value > asOfDay && !mayBeAhead
    ? { code: 'date-future', expected: `a day up to ${isoFromDay(asOfDay)}` }
    : { value };
};

const dayHint = (text: string): string => {
  if (/^\d{5}(?:[.,]\d+)?$/.test(text)) return '; this looks like a spreadsheet serial number';
  if (/^\d{1,2}[./-]\d{1,2}[./-]\d{2}$/.test(text)) return '; a year has four digits';
  return /\d[T ]\d/.test(text) ? '; without a time of day' : '';
};
