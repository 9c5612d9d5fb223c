import type { Cell, IngestedTable } from '../ingest/ingested.ts';

/** Readers of a table's typed cells by place of the line and our column names: '' and NaN where not sent or blank. */
export type CellReaders = {
  text: (line: number, name: string) => string;
  quantity: (line: number, name: string) => number;
  /** Whole columns of some lines. */
  texts: (lines: readonly number[], name: string) => string[];
  quantities: (lines: readonly number[], name: string) => Float64Array;
  /** Where a line begins in the file. */
  at: (line: number) => { sourceLine: number; byteOffset: number };
  /** The key of a test within the chain. */
  storeAndTest: (line: number) => string;
  /** The first of the fields about the test that two lines send differently; '' when they send the same. */
  differing: (line: number, other: number, fields?: readonly string[]) => string;
  sharedFields: readonly string[];
  ownFields: readonly string[];
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
    return place.isOwn ? lines.own[place.at]?.[line] : lines.shared[place.at]?.[lines.runs[line] as number];
  };
  const text = (line: number, name: string): string => String(cell(line, name) ?? '');
  const quantity = (line: number, name: string): number => {
    const value = cell(line, name);
    return typeof value === 'number' ? value : Number.NaN;
  };
  let blank: string[] = [];
  /** One column for all fields that are not sent. */
  const blanks = (count: number): string[] => {
    if (blank.length !== count) blank = new Array<string>(count).fill('');
    return blank;
  };
  const fieldsOf = (isOwn: boolean): string[] =>
    [...places]
      .filter(([, place]) => place.isOwn === isOwn)
      .sort(([, a], [, b]) => a.at - b.at)
      .map(([name]) => name);
  const [sharedFields, ownFields] = [fieldsOf(false), fieldsOf(true)];
  return {
    text,
    quantity,
    texts: (some, name) => (places.has(name) ? some.map((line) => text(line, name)) : blanks(some.length)),
    quantities: (some, name) => {
      const column = new Float64Array(some.length);
      for (let i = 0; i < some.length; i++) column[i] = quantity(some[i] as number, name);
      return column;
    },
    at: (line) => ({
      sourceLine: lines.sourceLine[line] as number,
      byteOffset: lines.byteOffset[line] as number,
    }),
    storeAndTest: (line) => `${text(line, 'store')}\u0000${text(line, 'test_id')}`,
    differing: (line, other, fields = sharedFields) =>
      lines.runs[line] === lines.runs[other]
        ? ''
        : (fields.find((name) => !Object.is(cell(line, name), cell(other, name))) ?? ''),
    sharedFields,
    ownFields,
    wideOutputs,
  };
};
