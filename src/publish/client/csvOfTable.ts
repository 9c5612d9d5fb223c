import { csvCell } from './csvCell.ts';

/** A table of the page as CSV text: its heads and the rows that are not filtered away. */
export const csvOfTable = (table: HTMLTableElement): string =>
  [...table.rows]
    .filter((row) => !row.hidden)
    .map((row) => [...row.cells].map((cell) => csvCell((cell.textContent ?? '').trim())).join(','))
    .map((line) => `${line}\r\n`)
    .join('');
