import { cellOrder } from './cellOrder.ts';
import { hashState } from './hashState.ts';
import { setState } from './setState.ts';

/** Gives sortable tables buttons in their heads; the order is kept in the address as `sort.<table>=<column>[-]`. */
export const sortTables = (): void => {
  for (const table of document.querySelectorAll<HTMLTableElement>('table[data-sortable]')) {
    const key = `sort.${table.id}`;
    [...(table.tHead?.rows[0]?.cells ?? [])].forEach((head, i) => {
      const button = document.createElement('button');
      button.type = 'button';
      button.append(...head.childNodes);
      button.addEventListener('click', () => {
        const isDown = head.getAttribute('aria-sort') === 'ascending';
        order(table, i, isDown);
        setState(key, `${i}${isDown ? '-' : ''}`);
      });
      head.append(button);
    });
    const wanted = /^(\d+)(-?)$/.exec(hashState(location.hash).get(key) ?? '');
    if (wanted !== null) order(table, Number(wanted[1]), wanted[2] === '-');
  }
};

const order = (table: HTMLTableElement, column: number, isDown: boolean): void => {
  const body = table.tBodies[0];
  const heads = [...(table.tHead?.rows[0]?.cells ?? [])];
  if (body === undefined || heads[column] === undefined) return;
  const text = (row: HTMLTableRowElement): string => {
    const cell = row.cells[column];
    return cell?.dataset['order'] ?? cell?.textContent ?? '';
  };
  const rows = [...body.rows].sort((a, b) => cellOrder(text(a), text(b)) * (isDown ? -1 : 1));
  body.append(...rows);
  for (const head of heads) head.removeAttribute('aria-sort');
  heads[column]?.setAttribute('aria-sort', isDown ? 'descending' : 'ascending');
};
