import type { Reject } from '../ingest/ingested.ts';
import type { CellReaders } from './cellReaders.ts';
import { rowFault } from './rowFaults.ts';
import { shownCell } from './shownCell.ts';

/**
 * One reject for each row of a test that says something else of it than most of its rows do, by the first such field. Where
 * as many rows say one thing as another, nobody knows which is right: all rows are named, with both.
 */
export const differingRows = (lines: readonly number[], path: string, cells: CellReaders): Reject[] => {
  const first = lines[0] as number;
  if (lines.every((line) => cells.differing(line, first) === '')) return [];
  const fields = cells.sharedFields
    .map((field) => ({ field, ...mostOften(lines, field, cells) }))
    .filter(({ expected }) => expected !== '');
  return lines.flatMap((line) => {
    const own = fields.find(({ field, common }) => common !== cells.text(line, field));
    if (own === undefined) return [];
    const { field, expected } = own;
    const found = shownCell(field, cells.text(line, field));
    return [rowFault(path, cells.at(line), 'test-fields-differ', { field, found, expected })];
  });
};

/** Values named where two stand as often. */
const mostNamed = 3;

/**
 * What most rows say in a field, undefined where two things are said as often, and what is expected of rows that say
 * otherwise: '' where none does.
 */
const mostOften = (
  lines: readonly number[],
  field: string,
  cells: CellReaders,
): { common: string | undefined; expected: string } => {
  const values = new Map<string, { value: string; first: number; rows: number }>();
  for (const line of lines) {
    const value = cells.text(line, field);
    const known = values.get(value);
    if (known === undefined) values.set(value, { value, first: line, rows: 1 });
    else known.rows++;
  }
  // the sort is stable: of equals the first stays first
  const [most, next] = [...values.values()].sort((a, b) => b.rows - a.rows);
  if (most === undefined || next === undefined) return { common: most?.value, expected: '' };
  const named = (value: string): string => {
    const own = shownCell(field, value);
    return own === '' ? 'blank' : `"${own}"`;
  };
  if (most.rows > next.rows)
    return {
      common: most.value,
      expected: `${named(most.value)} as in ${most.rows} of the ${lines.length} rows of the test`,
    };
  const all = [...values.values()]
    .slice(0, mostNamed)
    .map(({ value, first }) => `${named(value)} from line ${cells.at(first).sourceLine}`);
  const others = values.size > mostNamed ? ' and more' : '';
  return {
    common: undefined,
    expected: `the same in all rows of the test, which say ${all.join(', ')}${others}`,
  };
};
