import type { IngestedTable } from './ingested.ts';

const mostStores = 200;

/**
 * The stores that a read table names, in typed rows and in refused ones alike; where it names none, the sender's own. At
 * most 200, in the order of the file.
 */
export const storesNamed = (
  { places, lines, refused }: Pick<IngestedTable, 'places' | 'lines' | 'refused'>,
  senderStore = '',
): string[] => {
  const place = places.get('store');
  const typed = place === undefined ? [] : ((place.isOwn ? lines.own : lines.shared)[place.at] ?? []);
  const named = new Set<string>();
  for (const cell of typed) named.add(String(cell));
  for (const row of refused) named.add(row.storeAndTest.split('\u0000')[0] as string);
  named.delete('');
  if (named.size === 0 && senderStore !== '') named.add(senderStore);
  return [...named].slice(0, mostStores);
};
