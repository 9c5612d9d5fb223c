import type { Chain, SenderEntry } from '../catalog/chain.ts';
import { plainName as plain } from '../catalog/plainName.ts';

const lookup = (entries: readonly { key: string; aliases: readonly string[] }[]): Map<string, string> => {
  const found = new Map<string, string>();
  for (const { key, aliases } of entries)
    for (const name of [key, ...aliases]) if (!found.has(plain(name))) found.set(plain(name), key);
  return found;
};

/** Finders of our keys for texts as sent; '' when the text is not known. `known` lists what would have been. */
export type KeyFinder = { find: (text: string) => string; known: string[] };
export type Keys = {
  item: KeyFinder;
  grade: KeyFinder;
  output: KeyFinder;
  /** Of every item of the chain: its ways of cutting. */
  methods: ReadonlyMap<string, KeyFinder>;
  /** Class of one of our outputs; '' when there is none. */
  classOf: (output: string) => string;
  /** The outputs that a method of an item is expected to give, in order. */
  outputsOf: (item: string, method: string) => readonly string[];
};

const finder = (
  entries: readonly { key: string; aliases: readonly string[] }[],
  codes: Record<string, string>,
): KeyFinder => {
  const found = lookup(entries);
  const own = new Map(Object.entries(codes).map(([theirs, ours]) => [plain(theirs), ours]));
  const before = new Map<string, string>();
  const find = (text: string): string => {
    const known = before.get(text);
    if (known !== undefined) return known;
    const key = own.get(plain(text)) ?? found.get(plain(text)) ?? '';
    before.set(text, key);
    return key;
  };
  return { find, known: [...found.keys()] };
};

/** Builds the finders for one sender: its own codes first, then the chain's keys and aliases. */
export const keysOf = (chain: Chain, sender: SenderEntry): Keys => {
  const methodsOf = (item: string): KeyFinder =>
    finder(
      chain.methods
        .filter((entry) => entry.item === item)
        .map((entry) => ({ key: entry.method, aliases: entry.aliases })),
      {},
    );
  const classes = new Map<string, string>(chain.outputs.map((entry) => [entry.output, entry.class]));
  const outputs = new Map(
    chain.methods.map((entry) => [`${entry.item}\u0000${entry.method}`, entry.outputs]),
  );
  return {
    classOf: (output) => classes.get(output) ?? '',
    outputsOf: (item, method) => outputs.get(`${item}\u0000${method}`) ?? [],
    item: finder(
      chain.items.map((entry) => ({
        key: entry.item,
        aliases: [entry.imps, ...entry.aliases].filter((name) => name !== ''),
      })),
      sender.codes.item,
    ),
    grade: finder(
      chain.grades.map((entry) => ({ key: entry.grade, aliases: entry.aliases })),
      sender.codes.grade,
    ),
    output: finder(
      chain.outputs.map((entry) => ({ key: entry.output, aliases: entry.aliases })),
      sender.codes.output,
    ),
    methods: new Map(chain.items.map(({ item }) => [item, methodsOf(item)])),
  };
};
