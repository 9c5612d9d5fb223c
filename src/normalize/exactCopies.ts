import type { CellReaders } from './cellReaders.ts';

/**
 * The rows of a test, given by their places, apart by the copies that a file holds of it, as when a sheet was pasted twice:
 * every row stands the same number of times, the same in all its cells. One list, of all rows, where the test stands once.
 */
export const exactCopies = (
  lines: readonly number[],
  { sharedFields, ownFields, text }: CellReaders,
): (readonly number[])[] => {
  const fields = [...sharedFields, ...ownFields];
  const alike = new Map<string, number[]>();
  for (const line of lines) {
    const said = JSON.stringify(fields.map((name) => text(line, name)));
    const own = alike.get(said);
    if (own === undefined) alike.set(said, [line]);
    else own.push(line);
  }
  const [times, ...others] = new Set([...alike.values()].map((own) => own.length));
  return times === undefined || others.length > 0
    ? [lines]
    : Array.from({ length: times }, (_, copy) => [...alike.values()].map((own) => own[copy] as number));
};
