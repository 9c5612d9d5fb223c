import { isoFromDay } from '../units/calendarDay.ts';

const dayFields = new Set([
  'cut_date',
  'pack_date',
  'revised_on',
  'valid_from',
  'valid_to',
  'week_of',
  'since',
  'coached_on',
]);

/** A typed cell, given as the text of its value, as it is written: '' where it is missing, a day as an ISO date. */
export const shownCell = (field: string, value: string): string => {
  if (value === 'NaN' || value === '') return '';
  return dayFields.has(field) ? isoFromDay(Number(value)) : value;
};
