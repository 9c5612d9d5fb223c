import { damagedText } from './damagedText.ts';
import { hasForbiddenCharacter } from './forbiddenCharacters.ts';
import type { HeaderMap } from './headerMap.ts';
import type { IngestedTable } from './ingested.ts';
import type { DelimitedRecord } from './splitRecords.ts';

const mostStores = 200;

/**
 * The stores that a read table names, in typed rows and in refused ones whose cells stand in their columns; where it names
 * none, the sender's own. At most 200, in the order of the file.
 */
export const storesNamed = (
  { places, lines, refused }: Pick<IngestedTable, 'places' | 'lines' | 'refused'>,
  senderStore = '',
): string[] => {
  const place = places.get('store');
  const typed = place === undefined ? [] : ((place.isOwn ? lines.own : lines.shared)[place.at] ?? []);
  const named = new Set<string>();
  for (const cell of typed) named.add(String(cell));
  for (const row of refused) if (row.isInPlace) named.add(row.storeAndTest.split('\u0000')[0] as string);
  named.delete('');
  if (named.size === 0 && senderStore !== '') named.add(senderStore);
  return [...named].slice(0, mostStores);
};

/** The stores named in the first rows below column names under which a file cannot be read; strays and totals are passed over. */
export const storesBelow = (
  header: readonly string[],
  { targets, duplicated }: HeaderMap,
  body: readonly DelimitedRecord[],
): string[] => {
  const column = targets.indexOf('store');
  if (column < 0 || duplicated.includes('store')) return [];
  const isRow = ({ fault, cells }: DelimitedRecord): boolean =>
    fault === '' &&
    cells.length === header.length &&
    2 * cells.filter((cell) => cell.trim() !== '').length >= cells.length &&
    cells[column] !== header[column];
  const isName = (text: string): boolean =>
    text !== '' && !hasForbiddenCharacter(text, false) && damagedText(text, 'store') === '';
  const texts = body.filter(isRow).map(({ cells }) => (cells[column] as string).trim());
  return [...new Set(texts.filter(isName))].slice(0, mostStores);
};
