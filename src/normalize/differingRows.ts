import type { Reject } from '../ingest/ingested.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import type { CellReaders } from './cellReaders.ts';
import { rowFault } from './rowFaults.ts';

/** Fields about the test that are days. */
const dayFields = new Set(['cut_date', 'pack_date', 'revised_on']);

/**
 * One reject for each row of a test that says something else of it than most of its rows do, by the first such field. Where
 * as many rows say one thing as another, nobody knows which is right: all rows are named, with both.
 */
export const differingRows = (lines: readonly number[], path: string, cells: CellReaders): Reject[] => {
  const first = lines[0] as number;
  if (lines.every((line) => cells.differing(line, first) === '')) return [];
  const fields = cells.sharedFields
    .map((field) => ({ field, ...mostOften(lines, field, cells) }))
    .filter(({ values }) => values.size > 1);
  return lines.flatMap((line) => {
    const own = fields.find(({ field, common }) => common !== cells.text(line, field));
    if (own === undefined) return [];
    const { field } = own;
    const found = said(field, cells.text(line, field));
    return [
      rowFault(path, cells.at(line), 'test-fields-differ', {
        field,
        found,
        expected: expectation(own, lines, cells),
      }),
    ];
  });
};

type Told = { field: string; values: ReadonlyMap<string, number[]>; common: string | undefined };

/** What the rows say in a field, with the rows of each; `common`: what most say, undefined where two stand as often. */
const mostOften = (lines: readonly number[], field: string, { text }: CellReaders): Omit<Told, 'field'> => {
  const values = new Map<string, number[]>();
  for (const line of lines) values.set(text(line, field), [...(values.get(text(line, field)) ?? []), line]);
  const most = Math.max(...[...values.values()].map((own) => own.length));
  const [common, ...others] = [...values].filter(([, own]) => own.length === most).map(([value]) => value);
  return { values, common: others.length === 0 ? common : undefined };
};

const expectation = (
  { field, values, common }: Told,
  lines: readonly number[],
  cells: CellReaders,
): string => {
  const named = (value: string): string => {
    const own = said(field, value);
    return own === '' ? 'blank' : `"${own}"`;
  };
  if (common !== undefined)
    return `${named(common)} as in ${values.get(common)?.length} of the ${lines.length} rows of the test`;
  const all = [...values].map(
    ([value, own]) => `${named(value)} from line ${cells.at(own[0] as number).sourceLine}`,
  );
  return `the same in all rows of the test, which say ${all.join(', ')}`;
};

/** A typed value as it is written: '' where it is missing. */
const said = (field: string, value: string): string => {
  if (value === 'NaN') return '';
  return dayFields.has(field) && value !== '' ? isoFromDay(Number(value)) : value;
};
