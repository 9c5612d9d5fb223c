import type { ColumnTable } from 'arquero';
import { contentHash } from '../system/contentHash.ts';
import { peopleFreeFields } from './pages/peopleFree.ts';
import { expectedFields, testFields } from './pages/trainerFacts.ts';
import type { SitesInput } from './sitesInput.ts';

/**
 * Hash of all that the three sites are made from, apart from the program: two nights of the same digest have the same pages.
 * Numbers enter as the doubles they are, so that no change is too small to count.
 */
export const nightDigest = (input: SitesInput): string => {
  const { chain, asOfDay, reference, modeled, measured, found } = input;
  const { effects, curves, adjustedFor } = modeled;
  return contentHash(
    [
      JSON.stringify([chain, asOfDay, adjustedFor, curves, found]),
      JSON.stringify([reference.cutters, reference.coaching, input.cutterCode('')]),
      tableDigest(measured.tests, [...new Set([...testFields, ...peopleFreeFields])]),
      tableDigest(modeled.expected, ['store', 'testId', 'residual_saleable', ...expectedFields]),
      rowsDigest(effects),
    ].join('\n'),
  );
};

const tableDigest = (source: ColumnTable, names: readonly string[]): string =>
  names.map((name) => columnDigest(name, Array.from(source.array(name)))).join('\n');

const rowsDigest = <Row extends object>(rows: readonly Row[]): string =>
  (Object.keys(rows[0] ?? {}) as (keyof Row & string)[])
    .map((name) =>
      columnDigest(
        name,
        rows.map((row) => row[name]),
      ),
    )
    .join('\n');

const columnDigest = (name: string, values: readonly unknown[]): string =>
  `${name} ${
    values.every((value) => typeof value === 'number')
      ? contentHash(new Uint8Array(Float64Array.from(values).buffer))
      : contentHash(JSON.stringify(values))
  }`;
