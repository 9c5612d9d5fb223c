import type { IngestedTable, TypedLine } from '../ingest/ingested.ts';

/** Readers of a table's typed cells by our column names: '' and NaN where a column is not sent or blank. */
export type CellReaders = {
  text: (line: TypedLine, name: string) => string;
  quantity: (line: TypedLine, name: string) => number;
  /** The key of a test within the chain. */
  storeAndTest: (line: TypedLine) => string;
  sharedFields: string[];
  wideOutputs: readonly string[];
};

/** Readers for one table; made once a file. */
export const cellReaders = (table: Pick<IngestedTable, 'places' | 'wideOutputs'>): CellReaders => {
  const { places, wideOutputs } = table;
  const cell = (line: TypedLine, name: string): string | number | undefined => {
    const place = places.get(name);
    return place === undefined ? undefined : (place.isOwn ? line.own : line.shared)[place.at];
  };
  const text = (line: TypedLine, name: string): string => String(cell(line, name) ?? '');
  const quantity = (line: TypedLine, name: string): number => {
    const value = cell(line, name);
    return typeof value === 'number' ? value : Number.NaN;
  };
  const sharedFields = [...places]
    .filter(([, place]) => !place.isOwn)
    .sort(([, a], [, b]) => a.at - b.at)
    .map(([name]) => name);
  return {
    text,
    quantity,
    storeAndTest: (line) => `${text(line, 'store')}\u0000${text(line, 'test_id')}`,
    sharedFields,
    wideOutputs,
  };
};
