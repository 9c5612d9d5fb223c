/**
 * The cells of one record (RFC 4180: quotes around a cell, doubled inside; a quote inside an unquoted cell is a plain
 * character). 'open' when a quoted cell does not end in the text, 'junk' when a closing quote has text after it.
 * Our own because lines, byte offsets and the way back after a broken quote must be exact; checked against csv-parse.
 */
export const splitCells = (text: string, delimiter: string): string[] | 'open' | 'junk' => {
  if (!text.includes('"')) return text.split(delimiter);
  const cells: string[] = [];
  let at = 0;
  for (;;) {
    if (text[at] !== '"') {
      const end = text.indexOf(delimiter, at);
      cells.push(end < 0 ? text.slice(at) : text.slice(at, end));
      if (end < 0) return cells;
      at = end + delimiter.length;
      continue;
    }
    const close = closingQuote(text, at);
    if (close < 0) return 'open';
    cells.push(text.slice(at + 1, close).replaceAll('""', '"'));
    at = close + 1;
    if (at === text.length) return cells;
    if (!text.startsWith(delimiter, at)) return 'junk';
    at += delimiter.length;
  }
};

const closingQuote = (text: string, open: number): number => {
  let at = text.indexOf('"', open + 1);
  while (at >= 0 && text[at + 1] === '"') at = text.indexOf('"', at + 2);
  return at;
};

/** `taken`: how many of the first cells stand in an earlier row too, and are the same texts; `from`: the cells of that row. */
export type SplitCells = { cells: string[]; taken: number; from: readonly string[] };

/**
 * Splits lines of which many begin like the one above, as the rows of one test do: the cells that are the same are taken
 * over instead of split again. The cells are those that splitCells gives.
 */
export const cellSplitter = (delimiter: string): ((text: string) => SplitCells | 'open' | 'junk') => {
  let from: readonly string[] = [];
  let shared = 0;
  let prefix = '';
  const likeAbove = (text: string): SplitCells | 'open' | 'junk' => {
    if (text.indexOf('"', prefix.length) < 0) {
      const cells = from.slice();
      const count = setPlainCells(cells, shared, text, prefix.length, delimiter);
      // setting a length is slow also where it changes nothing
      if (count < cells.length) cells.length = count;
      return { cells, taken: shared, from };
    }
    const rest = splitCells(text.slice(prefix.length), delimiter);
    if (typeof rest === 'string') return rest;
    return { cells: from.slice(0, shared).concat(rest), taken: shared, from };
  };
  return (text) => {
    // compared as a slice: startsWith goes letter by letter
    if (shared > 0 && text.slice(0, prefix.length) === prefix) return likeAbove(text);
    const cells = splitCells(text, delimiter);
    if (typeof cells === 'string') return cells;
    const same = sameCells(cells, from);
    if (same > 0) shared = same;
    from = cells;
    prefix = cells.slice(0, shared).join(delimiter) + delimiter;
    if (shared >= cells.length || !text.startsWith(prefix)) shared = 0;
    return { cells, taken: 0, from };
  };
};

/** Writes the cells of a text without quotes, from `at` on, to the places from `place` on; gives the place behind. */
const setPlainCells = (
  cells: string[],
  place: number,
  text: string,
  at: number,
  delimiter: string,
): number => {
  let [next, start] = [place, at];
  for (let end = text.indexOf(delimiter, start); end >= 0; end = text.indexOf(delimiter, start)) {
    cells[next++] = text.slice(start, end);
    start = end + delimiter.length;
  }
  cells[next++] = text.slice(start);
  return next;
};

/** Cells from the first on that two rows have in common. */
const sameCells = (a: readonly string[], b: readonly string[]): number => {
  let same = 0;
  while (same < a.length - 1 && a[same] === b[same]) same++;
  return same;
};
