import { hashState } from './hashState.ts';
import { setState } from './setState.ts';

/** A place `<div class="filters" data-of="<id>" data-keys="region:Region,item:Item">` gets one select a key. */
export const filterLists = (): void => {
  for (const place of document.querySelectorAll<HTMLElement>('.filters')) {
    const list = document.getElementById(place.dataset['of'] ?? '');
    if (list !== null) addFilters(place, list);
  }
};

const addFilters = (place: HTMLElement, list: HTMLElement): void => {
  const entries = [...list.querySelectorAll<HTMLElement>('[data-row]')];
  const shown = document.createElement('output');
  const chosen = new Map<string, string>();
  const apply = (): void => {
    let count = 0;
    for (const entry of entries) {
      entry.hidden = [...chosen].some(([key, value]) => value !== '' && entry.dataset[key] !== value);
      if (!entry.hidden) count++;
    }
    shown.textContent = `${count} of ${entries.length} shown`;
  };
  for (const [key, title] of keysOf(place)) {
    const select = selectOf(title, [...new Set(entries.map((entry) => entry.dataset[key] ?? ''))].sort());
    const wanted = hashState(location.hash).get(`${list.id}.${key}`) ?? '';
    select.value = [...select.options].some((option) => option.value === wanted) ? wanted : '';
    chosen.set(key, select.value);
    select.addEventListener('change', () => {
      chosen.set(key, select.value);
      setState(`${list.id}.${key}`, select.value);
      apply();
    });
    const label = document.createElement('label');
    label.append(title, select);
    place.append(label);
  }
  place.append(shown);
  apply();
};

const keysOf = (place: HTMLElement): [string, string][] =>
  (place.dataset['keys'] ?? '').split(',').map((pair) => {
    const [key, title] = pair.split(':') as [string, string];
    return [key, title];
  });

const selectOf = (title: string, values: readonly string[]): HTMLSelectElement => {
  const select = document.createElement('select');
  select.append(
    new Option(`all`, ''),
    ...values.filter((value) => value !== '').map((value) => new Option(value, value)),
  );
  select.setAttribute('aria-label', title);
  return select;
};
