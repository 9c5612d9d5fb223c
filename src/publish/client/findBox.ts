import { findEntries } from './findEntries.ts';

/** The find box: `/` goes to it, arrows choose, Enter opens, Escape closes (ARIA combobox pattern). */
export const findBox = (entries: readonly (readonly [string, string])[]): void => {
  const place = document.querySelector<HTMLElement>('.find');
  if (place === null || entries.length === 0) return;
  const input = document.createElement('input');
  const list = document.createElement('ul');
  const what = place.dataset['finds'] ?? '';
  const attributes: Record<string, string> = {
    type: 'search',
    role: 'combobox',
    'aria-label': `Find a ${what}`,
    'aria-expanded': 'false',
    'aria-controls': 'found',
    'aria-autocomplete': 'list',
    placeholder: `Find a ${what}  ( / )`,
    autocomplete: 'off',
    spellcheck: 'false',
  };
  for (const [key, value] of Object.entries(attributes)) input.setAttribute(key, value);
  list.id = 'found';
  list.setAttribute('role', 'listbox');
  list.setAttribute('aria-label', 'Found');
  list.hidden = true;
  place.append(input, list);
  listen(input, list, entries);
};

const listen = (
  input: HTMLInputElement,
  list: HTMLUListElement,
  entries: readonly (readonly [string, string])[],
): void => {
  let hits: (readonly [string, string])[] = [];
  let at = 0;
  const show = (): void => {
    list.replaceChildren(...hits.map(([text], i) => optionOf(text, i, i === at)));
    list.hidden = hits.length === 0;
    input.setAttribute('aria-expanded', String(hits.length > 0));
    if (hits.length > 0) input.setAttribute('aria-activedescendant', `found-${at}`);
    else input.removeAttribute('aria-activedescendant');
  };
  const open = (i: number): void => {
    const href = hits[i]?.[1];
    if (href === undefined) return;
    const target = new URL(href, location.href);
    const isHere = target.pathname === location.pathname;
    location.href = target.href;
    if (isHere && target.hash.includes('=')) location.reload();
  };
  const moves: Record<string, () => void> = {
    ArrowDown: () => {
      at = Math.min(hits.length - 1, at + 1);
    },
    ArrowUp: () => {
      at = Math.max(0, at - 1);
    },
    Enter: () => open(at),
    Escape: () => {
      hits = [];
    },
  };
  input.addEventListener('input', () => {
    hits = findEntries(entries, input.value);
    at = 0;
    show();
  });
  input.addEventListener('keydown', (event) => {
    const move = moves[event.key];
    if (move === undefined) return;
    event.preventDefault();
    move();
    show();
  });
  list.addEventListener('mousedown', (event) => {
    const option = (event.target as HTMLElement).closest('li');
    if (option !== null) open(Number(option.dataset['at']));
  });
  document.addEventListener('keydown', (event) => {
    if (event.key !== '/' || event.target instanceof HTMLInputElement) return;
    event.preventDefault();
    input.focus();
  });
};

const optionOf = (text: string, i: number, isAt: boolean): HTMLLIElement => {
  const option = document.createElement('li');
  option.id = `found-${i}`;
  option.dataset['at'] = String(i);
  option.setAttribute('role', 'option');
  option.setAttribute('aria-selected', String(isAt));
  option.textContent = text;
  return option;
};
