import { plainName } from '../catalog/plainName.ts';
import type { Reject } from '../ingest/ingested.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import type { CellReaders } from './cellReaders.ts';
import { rowFault } from './rowFaults.ts';
import { shownCell } from './shownCell.ts';

/** What a row of a reference table is about; prices that tell different things are told apart by their ties. */
const keys: Readonly<Record<string, readonly string[]>> = {
  stores: ['store'],
  cutters: ['cutter', 'store'],
  volumes: ['store', 'item', 'week_of'],
  standards: ['item', 'method', 'output', 'valid_from'],
  coaching: ['cutter', 'item', 'habit', 'coached_on', 'by'],
  quotes: ['supplier', 'plant', 'item', 'spec', 'grade', 'weight_class', 'basis', 'state', 'valid_from'],
};

/**
 * The rows of a reference table that stand, given by their places: of those that say the same in every cell the first, of
 * those that tell different things of the same none. Nor does a row that ends before it begins, nor one of a cutter who has
 * another name elsewhere: a cutter may stand in several stores, but an id is one person in the whole chain.
 */
export const standingRows = (
  name: string,
  lines: readonly number[],
  { path, cells }: { path: string; cells: CellReaders },
): { lines: number[]; rejects: Reject[] } => {
  const fields = [...cells.sharedFields, ...cells.ownFields];
  const said = (line: number, some: readonly string[]): string =>
    JSON.stringify(some.map((field) => cells.text(line, field)));
  const alike = new Map<string, number[]>();
  for (const line of lines) {
    const key = said(line, keys[name] ?? fields);
    const own = alike.get(key);
    if (own === undefined) alike.set(key, [line]);
    else if (own.every((other) => said(other, fields) !== said(line, fields))) own.push(line);
  }
  const rejects: Reject[] = [];
  const standing: number[] = [];
  for (const own of alike.values())
    for (const line of own) {
      const fault =
        own.length > 1 ? repeated(line, own, fields, { path, cells }) : reversed(line, { path, cells });
      if (fault === undefined) standing.push(line);
      else rejects.push(fault);
    }
  const named = namedTwice(name, standing, { path, cells });
  return {
    lines: standing.filter((line) => !named.has(line)).sort((a, b) => a - b),
    rejects: [...rejects, ...named.values()],
  };
};

type Setting = { path: string; cells: CellReaders };

/** Names the first field in which a row and another about the same differ. */
const repeated = (
  line: number,
  alike: readonly number[],
  fields: readonly string[],
  { path, cells }: Setting,
): Reject => {
  const other = alike.find((one) => one !== line) as number;
  const field = fields.find((one) => cells.text(line, one) !== cells.text(other, one)) as string;
  return rowFault(path, cells.at(line), 'row-repeated', {
    field,
    found: shownCell(field, cells.text(line, field)),
    expected: `one row for it; line ${cells.at(other).sourceLine} says ${shownCell(field, cells.text(other, field)) || 'nothing'}`,
  });
};

/** The reject of every row of a cutter of whom another row has another name, by its place; no name says nothing. */
const namedTwice = (
  table: string,
  lines: readonly number[],
  { path, cells }: Setting,
): Map<number, Reject> => {
  const rejects = new Map<number, Reject>();
  const named = lines.filter((line) => table === 'cutters' && cells.text(line, 'name') !== '');
  for (const own of groupedBy(named, (line) => cells.text(line, 'cutter')).values())
    for (const line of own) {
      const name = cells.text(line, 'name');
      const other = own.find((one) => plainName(cells.text(one, 'name')) !== plainName(name));
      if (other === undefined) continue;
      const expected = `one name for ${cells.text(line, 'cutter')}; line ${cells.at(other).sourceLine} says "${cells.text(other, 'name')}"`;
      rejects.set(
        line,
        rowFault(path, cells.at(line), 'cutter-named-twice', { field: 'name', found: name, expected }),
      );
    }
  return rejects;
};

const reversed = (line: number, { path, cells }: Setting): Reject | undefined => {
  const [from, to] = [cells.quantity(line, 'valid_from'), cells.quantity(line, 'valid_to')];
  return to < from
    ? rowFault(path, cells.at(line), 'dates-reversed', {
        field: 'valid_to',
        found: isoFromDay(to),
        expected: `a day from ${isoFromDay(from)} on`,
      })
    : undefined;
};
