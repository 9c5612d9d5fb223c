const isNumber = /^[-+]?[\d.,\s]*\d[\d.,]*(\s?%)?$/;

/**
 * One cell of an exported CSV. A text that a spreadsheet would take for a formula (begins with = + - @, tab or return, and
 * is no number) gets an apostrophe in front (OWASP, CSV injection). Quoted where RFC 4180 asks for it. The minus of the pages
 * becomes the one that other programs read.
 */
export const csvCell = (shown: string): string => {
  const text = shown.replaceAll(/\u2212(?=\d)/g, '-');
  const isFormula = /^[=+\-@\t\r\uff1d\uff0b\uff0d\uff20]/.test(text) && !isNumber.test(text);
  const safe = isFormula ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
};
