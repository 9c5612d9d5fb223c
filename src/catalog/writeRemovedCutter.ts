import { isSeq, parseDocument } from 'yaml';
import type { FileSystem } from '../system/fileSystem.ts';

/**
 * Puts a cutter on the list `removed_cutters` of `chain.yaml`, which every later night honors; all else in the file stays as
 * it is, comments too. False when the cutter is on it already. The file must be a valid chain file.
 */
export const writeRemovedCutter = (chainFolder: string, cutter: string, fs: FileSystem): boolean => {
  const path = `${chainFolder}/chain.yaml`;
  const text = fs.readText(path);
  const list: unknown = parseDocument(text).get('removed_cutters', true);
  const known = isSeq(list) ? (list.toJSON() as string[]) : [];
  if (known.includes(cutter)) return false;
  const written = `[${[...known, cutter].map((one) => JSON.stringify(one)).join(', ')}]`;
  fs.replace(path, isSeq(list) ? replaced(text, list.range, written) : appended(text, written));
  return true;
};

const replaced = (
  text: string,
  range: readonly [number, number, number] | null | undefined,
  list: string,
): string => {
  const [start, end] = range ?? [text.length, text.length];
  const old = text.slice(start, end);
  return `${text.slice(0, start)}${list}${/\s*$/.exec(old)?.[0] ?? ''}${text.slice(end)}`;
};

const appended = (text: string, list: string): string =>
  `${text}${text === '' || text.endsWith('\n') ? '' : '\n'}removed_cutters: ${list}\n`;
