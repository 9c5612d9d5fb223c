import type { SenderEntry } from '../catalog/chain.ts';
import type { SchemaField } from './ingested.ts';

/** A header cell reduced to what is compared: case, spaces and punctuation do not matter. */
export const plainHeader = (cell: string): string =>
  cell
    .normalize('NFC')
    .trim()
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '_')
    .replace(/^_+|_+$/g, '');

export type HeaderMap = {
  /** Per cell: our column, or 'wide:<output>', or '' for a column we do not read. */
  targets: string[];
  missing: string[];
  duplicated: string[];
};

const givenByDefault = (sender: SenderEntry): Set<string> => new Set(Object.keys(sender.defaults));

/** Matches a header line to our columns by the sender's map, then by our own names. */
export const headerMap = (
  header: readonly string[],
  fields: readonly SchemaField[],
  sender: SenderEntry,
): HeaderMap => {
  const known = new Map(fields.map((field) => [plainHeader(field.name), field.name]));
  for (const [ours, theirs] of Object.entries(sender.columns)) known.set(plainHeader(theirs), ours);
  for (const [output, theirs] of Object.entries(sender.wide))
    known.set(plainHeader(theirs), `wide:${output}`);
  const targets = header.map((cell) => known.get(plainHeader(cell)) ?? '');
  const seen = new Set<string>();
  const duplicated = targets.filter((target) => target !== '' && (seen.has(target) || !seen.add(target)));
  const isWide = sender.layout === 'wide';
  const defaulted = givenByDefault(sender);
  const needed = fields.filter(
    (field) =>
      field.constraints?.required &&
      !(isWide && field.name.startsWith('output')) &&
      !defaulted.has(field.name),
  );
  return {
    targets,
    missing: needed.map((field) => field.name).filter((name) => !seen.has(name)),
    duplicated,
  };
};

/** How many header cells are recognized; the score by which a delimiter is chosen. */
export const headerScore = (
  header: readonly string[],
  fields: readonly SchemaField[],
  sender: SenderEntry,
): number => headerMap(header, fields, sender).targets.filter((target) => target !== '').length;
