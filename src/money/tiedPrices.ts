import { type PriceEntry, specificity } from './priceList.ts';

/**
 * For each price the place of the first other one that it ties with, -1 = none: another price for the same output and kind,
 * valid from the same day and as specific, that some question could mean as well, with no more specific one before both.
 * Two rows that ask the same price do not tie. entries: length n; returns length n.
 */
export const tiedPrices = (entries: readonly PriceEntry[]): Int32Array => {
  const tiedWith = new Int32Array(entries.length).fill(-1);
  const groups = new Map<string, number[]>();
  for (const [i, entry] of entries.entries()) {
    const key = JSON.stringify([entry.output, entry.kind]);
    groups.set(key, [...(groups.get(key) ?? []), i]);
  }
  for (const group of groups.values()) {
    const own = group.map((i) => entries[i] as PriceEntry);
    for (const [a, first] of own.entries())
      for (const [b, second] of own.entries())
        if (a !== b && tiedWith[group[a] as number] === -1 && isTie(first, second, own))
          tiedWith[group[a] as number] = group[b] as number;
  }
  return tiedWith;
};

const about = ['region', 'item', 'grade'] as const;
const until = ({ validTo }: PriceEntry): number =>
  Number.isNaN(validTo) ? Number.POSITIVE_INFINITY : validTo;

const isTie = (a: PriceEntry, b: PriceEntry, entries: readonly PriceEntry[]): boolean => {
  if (a.validFrom !== b.validFrom || a.pricePerKg === b.pricePerKg || specificity(a) !== specificity(b))
    return false;
  if (!about.every((name) => a[name] === '' || b[name] === '' || a[name] === b[name])) return false;
  const end = Math.min(until(a), until(b));
  const isCovered = entries.some(
    (other) =>
      specificity(other) > specificity(a) &&
      about.every((name) => other[name] === '' || other[name] === (a[name] || b[name])) &&
      other.validFrom <= a.validFrom &&
      until(other) >= end,
  );
  return !isCovered;
};
