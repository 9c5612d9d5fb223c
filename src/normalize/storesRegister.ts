import type { IngestedTable } from '../ingest/ingested.ts';
import { cellReaders } from './cellReaders.ts';
import type { KeyFinder } from './keyOf.ts';

/** Finders of stores and regions as the stores table writes them; one that is left out is not checked. */
export type Register = { store?: KeyFinder; region?: KeyFinder };

/**
 * What other reference tables may name. A stores table of which a row was refused is no measure: what it lacks may stand in
 * that row. Without the table any store will do, as tests tell which there are; a region is then nobody's.
 */
export const storesRegister = (
  table: Pick<IngestedTable, 'lines' | 'places' | 'wideOutputs' | 'rejects'> | undefined,
): Register => {
  if (table === undefined) return { region: finderAmong([]) };
  if (table.rejects.length > 0) return {};
  const { text } = cellReaders(table);
  const lines = [...table.lines.runs.keys()];
  return {
    store: finderAmong(lines.map((line) => text(line, 'store'))),
    region: finderAmong(lines.map((line) => text(line, 'region'))),
  };
};

/** Finds a text that is among the given ones to the letter. */
const finderAmong = (texts: readonly string[]): KeyFinder => {
  const known = new Set(texts);
  return { find: (text) => (known.has(text) ? text : ''), known: [...known] };
};
