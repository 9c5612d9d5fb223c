import type { Chain } from './chain.ts';

const mostLetters = 34;

/** A name of at most 34 letters, cut off where it is longer. */
export const shortName = (text: string): string =>
  text.length > mostLetters ? `${text.slice(0, mostLetters - 1).trimEnd()}…` : text;

/** How an item is called in a sentence: its first name in the chain file with its key, `chuck roll (116A)`; what has no name keeps its key. */
export const itemNames = ({ items }: Pick<Chain, 'items'>): ((item: string) => string) => {
  const named = new Map<string, string>();
  for (const { item, name, spec } of [...items].reverse()) named.set(item, withoutSpec(name, spec));
  return (item) => {
    const name = named.get(item) ?? '';
    return name === '' || name === item ? item : `${shortName(name)} (${item})`;
  };
};

const withoutSpec = (name: string, spec: string): string => {
  const short = spec === '' ? name : name.replace(spec, '').trim();
  return short
    .replace(/^Beef /, '')
    .replace(/^(?:Pork|Lamb|Veal|Mutton)\b/, (species) => species.toLowerCase());
};
