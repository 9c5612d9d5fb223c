import type { Chain } from '../catalog/chain.ts';
import type { RejectCode } from '../faults/rejectCodes.ts';
import { decodedLines } from './decodedLines.ts';
import { type Dialect, isSeparatorLine } from './dialectOf.ts';
import { fileFault } from './fileFault.ts';
import { isColumnNames, plainHeader } from './headerMap.ts';
import type { Delivery, Reject } from './ingested.ts';
import { splitCells } from './splitCells.ts';
import { type DelimitedRecord, splitRecords } from './splitRecords.ts';

/** What a record of the body is: a row to type, a row refused as a whole, or one that counts only. */
export type BodyRecord =
  | { kind: 'row' | 'blank' | 'ignored' | 'header'; record: DelimitedRecord }
  | { kind: 'refused'; record: DelimitedRecord; code: RejectCode; found: string; expected: string };

/**
 * Hands every record after the sender's title lines to `take`, in order. Returns a Reject, and stops, where the file
 * itself goes wrong and nothing that follows is certain.
 */
export const bodyRecords = (
  delivery: Delivery,
  dialect: Dialect,
  limits: Chain['limits'],
  take: (body: BodyRecord) => void,
): Reject | undefined => {
  const { header, delimiter } = dialect;
  const width = header.cells.length;
  const next = splitRecords(decodedLines(delivery.bytes, dialect.encoding).next, delimiter, {
    width: () => width,
    recordLength: limits.record_kb * 1024,
  });
  const kindOf = recordKind(delivery, dialect, limits);
  const above = titleLines(delivery, next, header, take);
  if (above !== undefined) return above;
  let rows = 0;
  let broken: DelimitedRecord | undefined;
  for (let record = next(); record !== undefined; record = next()) {
    rows++;
    const fault = stopsAt(delivery, record, rows, limits);
    if (fault !== undefined) return fault;
    const body = kindOf(record);
    if (body.kind === 'header') return headerFault(delivery, record);
    if (broken !== undefined && !isCertainAfter(body, width, delimiter)) return quoteFault(delivery, broken);
    if (body.kind !== 'blank') broken = record.fault === 'broken' ? record : undefined;
    take(body);
  }
  return undefined;
};

const recordFault = (
  delivery: Delivery,
  record: DelimitedRecord,
  code: 'quote-broken' | 'header-again' | 'header-unknown',
  expected: string,
): Reject =>
  fileFault(delivery.path, code, {
    sourceLine: record.sourceLine,
    byteOffset: record.byteOffset,
    found: record.cells.join(' | ').slice(0, 200),
    expected,
  });

const quoteFault = (delivery: Delivery, record: DelimitedRecord): Reject =>
  recordFault(delivery, record, 'quote-broken', 'closed quotes, so that it is certain where the row ends');

const headerFault = (delivery: Delivery, record: DelimitedRecord): Reject =>
  recordFault(delivery, record, 'header-again', 'one line of column names, or the same again');

/**
 * The sender's title lines above the header count as ignored; a line `sep=;` is no row at all. Stops behind the header, or
 * with a Reject at a row above it.
 */
const titleLines = (
  delivery: Delivery,
  next: () => DelimitedRecord | undefined,
  header: DelimitedRecord,
  take: (body: BodyRecord) => void,
): Reject | undefined => {
  for (
    let record = next();
    record !== undefined && record.sourceLine !== header.sourceLine;
    record = next()
  ) {
    if (isRowAbove(record, header)) return aboveFault(delivery, record);
    if (!isSeparatorLine(record)) take({ kind: 'ignored', record });
  }
  return undefined;
};

/** Whether a line above the column names is a row of the table, as when the names were sorted along with the rows. */
const isRowAbove = ({ cells }: DelimitedRecord, header: DelimitedRecord): boolean =>
  cells.length === header.cells.length &&
  2 * cells.filter((cell) => cell.trim() !== '').length >= header.cells.length &&
  cells.some((cell) => /^\d+(?:[.,]\d+)?$/.test(cell.trim()));

const aboveFault = (delivery: Delivery, record: DelimitedRecord): Reject =>
  recordFault(delivery, record, 'header-unknown', 'the column names above all rows');

/** After a broken quote, reading on is certain only when the next record is a whole row, or broken in itself alone. */
const isCertainAfter = ({ kind, record }: BodyRecord, width: number, delimiter: string): boolean => {
  if (kind === 'blank') return true;
  if (record.fault !== 'broken') return record.cells.length === width;
  const plain = splitCells(record.cells.join(delimiter).replaceAll('"', ''), delimiter);
  return plain.length === width;
};

const stopsAt = (
  delivery: Delivery,
  record: DelimitedRecord,
  rows: number,
  limits: Chain['limits'],
): Reject | undefined => {
  if (record.fault === '' && rows <= limits.rows) return undefined;
  const at = { sourceLine: record.sourceLine, byteOffset: record.byteOffset };
  if (record.fault === 'swallows') return quoteFault(delivery, record);
  if (record.fault === 'too-long')
    return fileFault(delivery.path, 'limit-exceeded', {
      ...at,
      found: (record.cells[0] ?? '').slice(0, 200),
      expected: `at most ${limits.record_kb} KB a row`,
    });
  return rows > limits.rows
    ? fileFault(delivery.path, 'limit-exceeded', {
        ...at,
        found: `row ${rows}`,
        expected: `at most ${limits.rows} rows`,
      })
    : undefined;
};

const recordKind = (
  delivery: Delivery,
  { header, tail, known, map }: Dialect,
  limits: Chain['limits'],
): ((record: DelimitedRecord) => BodyRecord) => {
  const width = header.cells.length;
  const footers = delivery.sender.footer.map((pattern) => new RegExp(pattern, 'iu'));
  const names = header.cells.map(plainHeader);
  const isHeaderAgain = (cells: readonly string[]): boolean =>
    cells.every((cell, i) => plainHeader(cell) === (names[i] ?? ''));
  const mayBeNames = wordsWhereDigits(delivery, header, map.targets);
  const isFooter = ({ cells }: DelimitedRecord): boolean =>
    footers.length > 0 && footers.some((pattern) => pattern.test(cells.join(' ')));
  return (record) => {
    const { cells } = record;
    if (record.fault !== '') return faultyLine(record);
    if (cells.every((cell) => cell.trim() === '')) return { kind: 'blank', record };
    const isDoubtful = mayBeNames(cells);
    if ((isDoubtful && isHeaderAgain(cells)) || isFooter(record)) return { kind: 'ignored', record };
    if (isDoubtful && isColumnNames(cells, known)) return { kind: 'header', record };
    return rowOf(record, { width, tail, cell_kb: limits.cell_kb });
  };
};

const rowOf = (
  record: DelimitedRecord,
  { width, tail, cell_kb }: { width: number; tail: number; cell_kb: number },
): BodyRecord => {
  const { cells } = record;
  const isTailed =
    tail > 0 && cells.length === width + tail && cells.slice(width).every((cell) => cell.trim() === '');
  if (cells.length !== width && !isTailed)
    return refusal(record, 'cell-count', `${cells.length} cells`, `${width} cells`);
  const long = longerThan(cells, cell_kb * 1024);
  if (long !== undefined) return refusal(record, 'limit-exceeded', long, `at most ${cell_kb} KB a cell`);
  return { kind: 'row', record: isTailed ? { ...record, cells: cells.slice(0, width) } : record };
};

/** The first cell that is longer. A plain loop, as every cell of a file comes by. */
const longerThan = (cells: readonly string[], length: number): string | undefined => {
  for (let i = 0; i < cells.length; i++) if ((cells[i] as string).length > length) return cells[i];
  return undefined;
};

/** Whether a row may be one of column names: rows with a digit where a day or weight must stand are not looked at further. */
const wordsWhereDigits = (
  { fields }: Delivery,
  header: DelimitedRecord,
  targets: readonly string[],
): ((cells: readonly string[]) => boolean) => {
  const always = fields.find((field) => field.type !== 'string' && field.constraints?.required);
  const column = targets.indexOf(always?.name ?? '');
  const name = header.cells[column] ?? '';
  return (cells) => {
    const cell = cells[column] ?? '';
    return !/\d/.test(cell) || (/\d/.test(name) && plainHeader(cell) === plainHeader(name));
  };
};

const faultyLine = (record: DelimitedRecord): BodyRecord => {
  if (record.fault !== 'not-text')
    return refusal(record, 'quote-broken', record.cells.at(-1) ?? '', 'closed quotes');
  const { sourceLine, faultLine } = record;
  const where = faultLine === sourceLine ? '' : `; line ${faultLine} is not`;
  return refusal(
    record,
    'encoding-invalid',
    record.cells.join(' | '),
    `text in the encoding of the file${where}`,
  );
};

const refusal = (record: DelimitedRecord, code: RejectCode, found: string, expected: string): BodyRecord => ({
  kind: 'refused',
  record,
  code,
  found: found.slice(0, 200),
  expected,
});
