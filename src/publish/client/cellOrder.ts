/** Order of two cells: as numbers where both hold one, numbers before texts, else as text with numbers in it by size. */
export const cellOrder = (a: string, b: string): number => {
  const [x, y] = [numberIn(a), numberIn(b)];
  if (Number.isNaN(x) && Number.isNaN(y)) return a.localeCompare(b, 'en', { numeric: true });
  if (Number.isNaN(x) || Number.isNaN(y)) return Number.isNaN(x) ? 1 : -1;
  return x - y;
};

const written = /^([+\-\u2212]?)\s?(?:[A-Z]{0,3}\p{Sc})?\s?(\d[\d.,'\s]*)\s?(?:%|\p{Sc}|[a-z]{2})?$/u;

/** The number a cell holds, NaN when it holds none; a comma before one or two last digits is a decimal comma. */
const numberIn = (text: string): number => {
  const found = written.exec(text.trim());
  if (found === null) return Number.NaN;
  const digits = (found[2] as string).replaceAll(/['\s]/g, '');
  const plain = /,\d{1,2}$/.test(digits)
    ? digits.replaceAll('.', '').replace(',', '.')
    : digits.replaceAll(',', '');
  const size = Number(plain);
  return found[1] === '' || found[1] === '+' ? size : -size;
};
