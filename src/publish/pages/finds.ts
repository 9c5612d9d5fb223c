import { names } from './names.ts';
import type { PeopleFree } from './peopleFree.ts';

export type Find = readonly [text: string, href: string];

/** A name and, so that it is found by its key too, the key. */
export const findName = (name: string, key: string): string =>
  name.includes(key) ? name : `${name} (${key})`;

const itemsOf = (input: PeopleFree): string[] => [...new Set(input.tests.map((test) => test.item))].sort();

/** What the director's find box offers: stores, regions and items, each leading to its place. */
export const directorFinds = (input: PeopleFree): Find[] => {
  const called = names(input.chain, input.stores);
  const regions = [...new Set(input.stores.map((row) => row.region))]
    .filter((region) => region !== '')
    .sort();
  return [
    ...input.stores.map(
      (row): Find => [
        `store ${findName(called.store(row.store), row.store)}`,
        `stores.html#${new URLSearchParams({ 'stores.store': row.store })}`,
      ],
    ),
    ...regions.map(
      (region): Find => [
        `region ${region}`,
        `stores.html#${new URLSearchParams({ 'stores.region': region })}`,
      ],
    ),
    ...itemsOf(input).map((item): Find => [`item ${called.item(item)}`, 'index.html#where-it-goes']),
  ];
};

/** What the buyer's find box offers: suppliers and items. */
export const buyerFinds = (input: PeopleFree): Find[] => {
  const called = names(input.chain, input.stores);
  const suppliers = [...new Set(input.tests.map((test) => test.supplier))]
    .filter((name) => name !== '')
    .sort();
  return [
    ...suppliers.map(
      (supplier): Find => [
        `supplier ${supplier}`,
        `index.html#${new URLSearchParams({ 'quotes.supplier': supplier })}`,
      ],
    ),
    ...itemsOf(input).map(
      (item): Find => [
        `item ${called.item(item)}`,
        `index.html#${new URLSearchParams({ 'quotes.item': called.item(item) })}`,
      ],
    ),
  ];
};
