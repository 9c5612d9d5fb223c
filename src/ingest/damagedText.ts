/** What programs do to texts on their way, and what would have been right. */
const dayMade = 'text, not a day that a spreadsheet made of it';
/** Columns whose texts are names of ours or of the store, never days. */
const names = new Set(['store', 'test_id', 'cutter', 'item']);
const damages: { pattern: RegExp; expected: string }[] = [
  { pattern: /^=/, expected: 'text, not a formula' },
  {
    pattern: /^(?:null|NULL|\(null\)|nan|NaN|NaT|<NA>|undefined)$/,
    expected: 'a blank cell where there is nothing',
  },
  {
    pattern:
      /&(?:amp|lt|gt|quot|nbsp|#\d+|#x[\da-f]+|[a-z](?:acute|grave|uml|circ|tilde));|%20|\\u[\da-f]{4}/i,
    expected: 'the letter or sign itself, not its code',
  },
  {
    pattern: /^(?:#(?:REF!|N\/A|NAME\?|VALUE!|DIV\/0!|NULL!|NUM!)|#{3,})$/i,
    expected: 'text, not an error of a spreadsheet',
  },
  {
    pattern: /^\d(?:[.,]\d+)?E\+\d{2,}$/i,
    expected: 'every digit, not a number that a spreadsheet shortened',
  },
  {
    pattern:
      /^(?:\d{1,2}-(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)-\d{2})$/i,
    expected: dayMade,
  },
  {
    pattern: /^'\d|^(['"`\u2018-\u201f\u00ab\u2039]).*['"`\u2018-\u201f\u00bb\u203a]$/,
    expected: 'text without marks around it',
  },
  {
    // UTF-8 read as Windows-1252 and saved as that
    pattern:
      /\u00c3[\u0080-\u00bf\u0152-\u0178\u0192\u02c6\u02dc\u2013-\u203a\u20ac\u2122]|\u00c2[\u00a0-\u00bf]|\u00e2\u20ac[\u0153\u0178\u00a6\u2018-\u201d\u02dc\u2122]/,
    expected: 'letters as they were before the file was read in a wrong encoding',
  },
];
const plainText = /^[a-z0-9][a-z0-9 .,/&()_-]*$/i;

/** What a text of a column should have been where a program has damaged it for certain; '' where it has not. */
export const damagedText = (text: string, column: string): string => {
  if (plainText.test(text) && !/^\d|^n|-\d\d$|undefined/i.test(text)) return '';
  const expected = damages.find(({ pattern }) => pattern.test(text))?.expected ?? '';
  return expected === dayMade && !names.has(column) ? '' : expected;
};
