/** Powers of ten that doubles hold exactly. */
const tens = Array.from({ length: 17 }, (_, power) => 10 ** power);
const mostDigits = 15;

/**
 * The number that up to 15 digits with at most one decimal mark write, NaN for any other text. A whole number and a power of
 * ten that are both exact divide to the double nearest to the text, which is what Number gives, several times faster.
 */
export const shortNumber = (text: string, decimal: '.' | ','): number => {
  const mark = decimal === ',' ? 0x2c : 0x2e;
  let whole = 0;
  let decimals = -1;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code >= 0x30 && code <= 0x39) whole = whole * 10 + code - 0x30;
    else if (code === mark && decimals < 0) decimals = text.length - i - 1;
    else return Number.NaN;
  }
  const digits = decimals < 0 ? text.length : text.length - 1;
  if (digits === 0 || digits > mostDigits) return Number.NaN;
  return decimals < 0 ? whole : whole / (tens[decimals] as number);
};
