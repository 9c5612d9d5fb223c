const mostShown = 12;

/** Entries whose text holds every word typed, those that begin with the first word first. */
export const findEntries = <Entry extends readonly [text: string, href: string]>(
  entries: readonly Entry[],
  typed: string,
): Entry[] => {
  const words = typed
    .toLowerCase()
    .split(/\s+/)
    .filter((word) => word !== '');
  if (words.length === 0) return [];
  const hits = entries.filter(([text]) => words.every((word) => text.toLowerCase().includes(word)));
  const begins = (entry: Entry): number => (entry[0].toLowerCase().startsWith(words[0] as string) ? 0 : 1);
  return hits.sort((a, b) => begins(a) - begins(b)).slice(0, mostShown);
};
