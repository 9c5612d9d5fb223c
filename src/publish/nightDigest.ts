import type { ColumnTable } from 'arquero';
import { contentHash } from '../system/contentHash.ts';
import { peopleFreeFields } from './pages/peopleFree.ts';
import { expectedFields, testFields } from './pages/trainerFacts.ts';
import type { SitesInput } from './sitesInput.ts';

/**
 * Hash of all that the three sites are made from, apart from the program: two nights of the same digest have the same pages.
 * Numbers enter as the doubles they are, so that no change is too small to count. The terms of an expected yield come from
 * the fit that gave the yield itself.
 */
export const nightDigest = (input: SitesInput): string => {
  const { chain, asOfDay, reference, modeled, measured, found } = input;
  const { effects, curves, adjustedFor } = modeled;
  return contentHash(
    [
      JSON.stringify([chain, asOfDay, adjustedFor, curves, found]),
      JSON.stringify([input.intake, input.rejects]),
      JSON.stringify([reference.cutters, reference.coaching, input.cutterCode('')]),
      tableDigest(measured.tests, [...new Set([...testFields, ...peopleFreeFields, 'seenDay'])]),
      tableDigest(modeled.expected, ['store', 'testId', 'residual_saleable', ...expectedFields]),
      rowsDigest(effects),
    ].join('\n'),
  );
};

/** Columns are looked at where they lie: to copy them out takes longer than to hash them. */
const tableDigest = (source: ColumnTable, names: readonly string[]): string => {
  const table = source.isFiltered() || source.isOrdered() ? source.reify() : source;
  return names
    .map((name) => {
      // a table without rows may have no columns
      const column = table.column(name) as { length: number; at: (row: number) => unknown } | undefined;
      return columnDigest(name, column?.length ?? 0, (row) => column?.at(row));
    })
    .join('\n');
};

const rowsDigest = <Row extends object>(rows: readonly Row[]): string =>
  (Object.keys(rows[0] ?? {}) as (keyof Row & string)[])
    .map((name) => columnDigest(name, rows.length, (row) => (rows[row] as Row)[name]))
    .join('\n');

/** Hot loop: numbers go into one array of doubles; a column that holds anything else is hashed by the values it holds. */
const columnDigest = (name: string, count: number, at: (row: number) => unknown): string => {
  const numbers = new Float64Array(count);
  for (let row = 0; row < count; row++) {
    const value = at(row);
    if (typeof value !== 'number') return `${name} ${codedDigest(count, at)}`;
    numbers[row] = value;
  }
  return `${name} ${contentHash(new Uint8Array(numbers.buffer))}`;
};

/** Hot loop: each value by its place among the different ones, and these once as JSON. */
const codedDigest = (count: number, at: (row: number) => unknown): string => {
  const places = new Map<unknown, number>();
  const codes = new Int32Array(count);
  for (let row = 0; row < count; row++) {
    const value = at(row);
    const known = places.get(value);
    codes[row] = known ?? places.size;
    if (known === undefined) places.set(value, places.size);
  }
  return `${contentHash(new Uint8Array(codes.buffer))} ${contentHash(JSON.stringify([...places.keys()]))}`;
};
