import { nearestWord } from '../tables/nearestWord.ts';
import type { Delivery } from './ingested.ts';

/** A header cell reduced to what is compared: case, spaces, punctuation and a plural s do not matter. */
export const plainHeader = (cell: string): string =>
  cell
    .normalize('NFC')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '')
    .replace(/(?<=\p{L}{3})s$/u, '');

export type HeaderMap = {
  /** Per cell: our column, or 'wide:<output>', or '' for a column we do not read. */
  targets: string[];
  missing: string[];
  duplicated: string[];
  /** Header cells that are nearly one of our absent columns: [cell, our column]. */
  doubtful: [string, string][];
};

/** Letters by which an unknown header may differ from one of our columns to be taken for a slip. */
const slipLetters = 2;
/** Letters of a column's name that tell it also when more stands behind, as in "received weight (kg)". */
const longName = 6;

/** Plain headers -> our column ('' for one to ignore), by the sender's map, our own names and, when wide, the chain's outputs. */
export type KnownHeaders = ReadonlyMap<string, string>;

export const knownHeaders = ({ fields, sender, outputs = [] }: Delivery): KnownHeaders => {
  const isWide = sender.layout === 'wide';
  const known = new Map<string, string>();
  if (isWide)
    for (const { output, aliases } of outputs)
      for (const name of [output, ...aliases]) known.set(plainHeader(name), `wide:${output}`);
  for (const { name } of fields) if (!isWide || !isOfOutput(name)) known.set(plainHeader(name), name);
  for (const [output, theirs] of Object.entries(sender.wide))
    known.set(plainHeader(theirs), `wide:${output}`);
  for (const [ours, theirs] of Object.entries(sender.columns))
    for (const name of [theirs].flat()) known.set(plainHeader(name), ours);
  for (const theirs of sender.ignore ?? []) known.set(plainHeader(theirs), '');
  known.delete('');
  return known;
};

/** The columns that the wide layout has one of for each output. */
const isOfOutput = (name: string): boolean =>
  name === 'output' || name === 'output_weight' || name === 'pieces';

/** Matches a header line to our columns. */
export const headerMap = (
  header: readonly string[],
  { fields, sender }: Delivery,
  known: KnownHeaders,
): HeaderMap => {
  const targets = header.map((cell) => known.get(plainHeader(cell)) ?? '');
  const seen = new Set<string>();
  const duplicated = targets.filter((target) => target !== '' && (seen.has(target) || !seen.add(target)));
  const isWide = sender.layout === 'wide';
  const defaults = new Set(Object.keys(sender.defaults));
  const missing = fields
    .filter((field) => field.constraints?.required || field.columnRequired)
    .filter((field) => !isWide || !isOfOutput(field.name))
    .map((field) => field.name)
    .filter((name) => !seen.has(name) && !defaults.has(name));
  if (isWide && !targets.some((target) => target.startsWith('wide:'))) missing.push('output');
  const absent = [...known].filter(([, ours]) => ours !== '' && !seen.has(ours)).map(([theirs]) => theirs);
  const doubtful = header.flatMap((cell): [string, string][] => {
    const text = plainHeader(cell);
    if (known.has(text) || text.length < 4) return [];
    const near =
      absent.find((name) => name.length >= longName && text.startsWith(name)) ??
      nearestWord(text, absent, text.length < 6 ? 1 : slipLetters);
    return near === '' ? [] : [[cell, known.get(near) as string]];
  });
  return { targets, missing, duplicated, doubtful };
};

/** How many header cells are recognized; the score by which a delimiter and the header line are chosen. */
export const headerScore = (header: readonly string[], known: KnownHeaders): number =>
  header.filter((cell) => (known.get(plainHeader(cell)) ?? '') !== '').length;

/** Column names that make a line one of column names. */
const fewestNames = 3;

/** Whether a line is certainly one of column names: some are recognized, and they are most of what stands there. */
export const isColumnNames = (cells: readonly string[], known: KnownHeaders): boolean => {
  const score = headerScore(cells, known);
  return score >= fewestNames && 2 * score > cells.filter((cell) => cell.trim() !== '').length;
};
