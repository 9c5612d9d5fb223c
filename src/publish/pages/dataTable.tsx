import type { VNode } from 'preact';
import type { Formats } from './formats.ts';

/** A cell: text, a number as it is written for the chain's readers, text that leads to another page, or text sorted by another. */
export type Cell = string | { text: string; href: string } | { text: string; order: string };

/** A day as its readers write it, sorted by the calendar; '' stays blank. */
export const dayCell = (iso: string, write: Pick<Formats, 'day'>): Cell =>
  iso === '' ? '' : { text: write.day(iso), order: iso };
export type Column = { head: string; number?: boolean };
export type Table = {
  caption: string;
  columns: readonly Column[];
  rows: readonly (readonly Cell[])[];
  /** Sort buttons and, by these keys per row, filters are added in the browser. */
  sortable?: boolean;
  id?: string;
  keys?: readonly Record<string, string>[];
};

/** Columns from heads; a head that begins with '#' is a column of numbers. */
export const columns = (...heads: string[]): Column[] =>
  heads.map((head) => (head.startsWith('#') ? { head: head.slice(1), number: true } : { head }));

const dataKeys = (keys: Record<string, string> | undefined): Record<string, string> =>
  keys === undefined
    ? {}
    : Object.fromEntries([
        ['data-row', 'yes'],
        ...Object.entries(keys).map(([key, value]) => [`data-${key}`, value]),
      ]);

const textOf = (cell: Cell): string => (typeof cell === 'object' ? cell.text : cell);

const shownCell = (cell: Cell): string | VNode =>
  typeof cell === 'object' && 'href' in cell ? <a href={cell.href}>{cell.text}</a> : textOf(cell);

/** Texts up to this length (keys, days, short names) stay on one line. */
const shortCell = 14;

const cellClass = (cell: Cell, column: Column | undefined): string | undefined => {
  if (column?.number === true) return 'n';
  return textOf(cell).length <= shortCell ? 's' : undefined;
};

/** More rows than this scroll within their box under a head that stays. */
const longFrom = 25;

const boxOf = ({ rows }: Table): string => (rows.length > longFrom ? 'scroll long' : 'scroll');

/** From so many columns on a row stands as lines under each other where there is no room for them side by side. */
const stackedFrom = 4;

/** A table without the columns in which no row says anything. */
const withoutBlank = (table: Table): Table => {
  const told = table.columns.map(
    (_, j) => table.rows.length === 0 || table.rows.some((row) => row[j] !== ''),
  );
  return {
    ...table,
    columns: table.columns.filter((_, j) => told[j]),
    rows: table.rows.map((row) => row.filter((_, j) => told[j])),
  };
};

/**
 * A table in a box that scrolls by itself and can be reached from the keyboard; one of many columns is stacked on narrow
 * screens, each cell beside its head. Row heads come first; a column that is blank in every row is left out.
 */
export const DataTable = ({ table }: { table: Table }): VNode => <FullTable table={withoutBlank(table)} />;

const isStacked = ({ columns }: Table): boolean => columns.length >= stackedFrom;

const FullTable = ({ table }: { table: Table }): VNode => (
  // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable from the keyboard
  <div class={boxOf(table)} tabIndex={0} role="region" aria-label={table.caption}>
    <table
      id={table.id}
      class={isStacked(table) ? 'stack' : undefined}
      data-sortable={table.sortable === true ? 'yes' : undefined}
    >
      <caption>
        <span>{table.caption}</span>
      </caption>
      <thead>
        <tr>
          {table.columns.map((column) => (
            <th key={column.head} scope="col" class={column.number === true ? 'n' : undefined}>
              {column.head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {table.rows.map((row, i) => (
          <tr key={row.map(textOf).join('|')} {...dataKeys(table.keys?.[i])}>
            {row.map((cell, j) => (
              <td
                key={table.columns[j]?.head}
                class={cellClass(cell, table.columns[j])}
                data-order={typeof cell === 'object' && 'order' in cell ? cell.order : undefined}
                data-head={isStacked(table) ? table.columns[j]?.head : undefined}
              >
                {shownCell(cell)}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  </div>
);
