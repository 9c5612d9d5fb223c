import type { Chain } from './chain.ts';
import { plainName } from './plainName.ts';

/** What contradicts itself in a chain file that has the right shape, and the place of it by keys; undefined when nothing does. */
export type ChainFault = { place: (string | number)[]; says: string };

type Named = { place: (string | number)[]; key: string; called: string; names: readonly string[] };

/** The first contradiction: a language or time zone that is none, a name that means two things, a way of cutting without its item or outputs, ranges that overlap. */
export const chainFault = (chain: Chain): ChainFault | undefined =>
  unknownTongue(chain) ??
  twice(
    chain.grades.map(({ grade, scale, aliases }, i) => ({
      place: ['grades', i],
      key: `${scale}\u0000${grade}`,
      called: scale === '' ? grade : `${grade} (${scale})`,
      names: [grade, ...aliases],
    })),
    'a grade is never mapped from one scale to another: give each a name of its own, and map a sender`s under senders.codes.grade',
  ) ??
  twice(
    chain.outputs.map(({ output, aliases }, i) => ({
      place: ['outputs', i],
      key: output,
      called: output,
      names: [output, ...aliases],
    })),
    'drop one of them',
  ) ??
  twice(
    chain.items.map(({ item, imps, aliases }, i) => ({
      place: ['items', i],
      key: item,
      called: item,
      names: [item, imps, ...aliases].filter((name) => name !== ''),
    })),
    'drop one of them',
    true,
  ) ??
  chain.items.map(overlap).find((fault) => fault !== undefined) ??
  chain.methods.map((_, i) => unknownPart(chain, i)).find((fault) => fault !== undefined);

/** A language or time zone that nobody knows would end the night when the first number is written. */
const unknownTongue = ({ language, timezone }: Chain): ChainFault | undefined =>
  !isKnown(() => new Intl.NumberFormat(language))
    ? { place: ['language'], says: `"${language}" is no language (BCP 47), like en-US` }
    : !isKnown(() => new Intl.DateTimeFormat('en', { timeZone: timezone }))
      ? { place: ['timezone'], says: `"${timezone}" is no time zone (IANA), like America/Chicago` }
      : undefined;

const isKnown = (use: () => unknown): boolean => {
  try {
    use();
    return true;
  } catch {
    return false;
  }
};

/** A name of two different entries, or two entries of one key unless these may differ by spec. */
const twice = (entries: readonly Named[], remedy: string, mayRepeat = false): ChainFault | undefined => {
  const known = new Map<string, Named>();
  for (const entry of entries)
    for (const name of new Set(entry.names.map(plainName))) {
      const other = known.get(name);
      known.set(name, other ?? entry);
      if (other === undefined || (mayRepeat && other.key === entry.key)) continue;
      return {
        place: entry.place,
        says: `"${name}" names both ${other.called} and ${entry.called}; ${remedy}`,
      };
    }
  return undefined;
};

const overlap = ({ item, weight_classes }: Chain['items'][number], i: number): ChainFault | undefined => {
  const sorted = [...weight_classes].sort((a, b) => a.from - b.from);
  const place = ['items', i, 'weight_classes'];
  for (const [k, range] of sorted.entries()) {
    if (!(range.from < range.to))
      return { place, says: `range ${range.name} of ${item} ends before it begins` };
    const before = sorted[k - 1];
    if (before !== undefined && range.from < before.to)
      return { place, says: `ranges ${before.name} and ${range.name} of ${item} overlap` };
  }
  return undefined;
};

const unknownPart = (chain: Chain, i: number): ChainFault | undefined => {
  const { method, item, main, outputs } = chain.methods[i] as Chain['methods'][number];
  if (!chain.items.some((entry) => entry.item === item))
    return { place: ['methods', i], says: `${method} cuts ${item}, which is not under items` };
  const missing = [...main, ...outputs].find((name) => !chain.outputs.some((entry) => entry.output === name));
  return missing === undefined
    ? undefined
    : { place: ['methods', i], says: `${method} gives ${missing}, which is not under outputs` };
};
