import type { Cell, IngestedTable } from '../ingest/ingested.ts';

/** Readers of a table's typed cells by place of the line and our column names: '' and NaN where not sent or blank. */
export type CellReaders = {
  text: (line: number, name: string) => string;
  quantity: (line: number, name: string) => number;
  /** Where a line begins in the file. */
  at: (line: number) => { sourceLine: number; byteOffset: number };
  /** The key of a test within the chain. */
  storeAndTest: (line: number) => string;
  /** The fields of a line that tell about its test, in the order of `sharedFields`. */
  shared: (line: number) => readonly Cell[];
  sharedFields: string[];
  wideOutputs: readonly string[];
};

/** Readers for one table; made once a file. */
export const cellReaders = ({
  lines,
  places,
  wideOutputs,
}: Pick<IngestedTable, 'lines' | 'places' | 'wideOutputs'>): CellReaders => {
  const cell = (line: number, name: string): Cell | undefined => {
    const place = places.get(name);
    if (place === undefined) return undefined;
    return place.isOwn ? lines.own[place.at]?.[line] : lines.shared[line]?.[place.at];
  };
  const text = (line: number, name: string): string => String(cell(line, name) ?? '');
  const quantity = (line: number, name: string): number => {
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
    at: (line) => ({
      sourceLine: lines.sourceLine[line] as number,
      byteOffset: lines.byteOffset[line] as number,
    }),
    storeAndTest: (line) => `${text(line, 'store')}\u0000${text(line, 'test_id')}`,
    shared: (line) => lines.shared[line] as readonly Cell[],
    sharedFields,
    wideOutputs,
  };
};
