import type { RejectCode } from '../faults/rejectCodes.ts';
import { type DecodedLine, decodedLines } from './decodedLines.ts';
import type { Encoding } from './encodingOf.ts';
import { fileFault } from './fileFault.ts';
import {
  type HeaderMap,
  headerMap,
  headerScore,
  isColumnNames,
  type KnownHeaders,
  knownHeaders,
} from './headerMap.ts';
import { headerProblem } from './headerProblem.ts';
import type { Delivery, Reject } from './ingested.ts';
import { type DelimitedRecord, splitRecords } from './splitRecords.ts';
import { storesBelow } from './storesNamed.ts';

/** How a file is laid out: its delimiter and the line of column names, matched to ours. */
export type Dialect = {
  encoding: Encoding;
  delimiter: string;
  header: DelimitedRecord;
  map: HeaderMap;
  known: KnownHeaders;
  /** The first records behind the header. */
  sample: readonly DelimitedRecord[];
  /** Blank cells that the rows have behind those of the header, where most rows have them. */
  tail: number;
};
type Limits = { columns: number; record_kb: number };

const delimiters = [',', ';', '\t', '|'];
const sampleLines = 200;
/** Lines of a title or an address that may stand above the column names. */
const linesAboveHeader = 20;

/** Why a file has no dialect; its column names and the stores that its first rows name, where they can be told. */
export type NoDialect = { reject: Reject; header: readonly string[]; stores: readonly string[] };

/** Decides the delimiter and finds the header, from the first lines; a Reject when neither can be told for certain. */
export const dialectOf = (delivery: Delivery, encoding: Encoding, limits: Limits): Dialect | NoDialect => {
  const refused = (...[code, at]: [RejectCode, Partial<Reject>]): NoDialect => ({
    reject: fileFault(delivery.path, code, at),
    header: [],
    stores: [],
  });
  const sample = sampleOf(delivery.bytes, encoding);
  if (sample === undefined) return refused('encoding-invalid', { expected: `text in ${encoding.name}` });
  const known = knownHeaders(delivery);
  const named = separatorOf(sample[0]?.text ?? '');
  const pinned = delivery.sender.delimiter ?? named;
  const views = (pinned === undefined ? delimiters : [pinned]).map((delimiter) =>
    viewOf(sample, delimiter, known, limits),
  );
  const best = Math.max(...views.map((view) => view.score));
  const fit = Math.max(...views.filter((view) => view.score === best).map((view) => view.fit));
  const winners = views.filter((view) => view.score === best && view.fit === fit);
  const [view] = winners;
  const first = sample.find((line) => line.text.trim() !== '');
  const at = {
    sourceLine: first?.sourceLine ?? 1,
    byteOffset: first?.byteOffset ?? 0,
    found: (first?.text ?? 'an empty file').slice(0, 200),
  };
  if (view?.tooLong !== undefined)
    return refused('limit-exceeded', {
      sourceLine: view.tooLong.sourceLine,
      byteOffset: view.tooLong.byteOffset,
      found: view.tooLong.cells.join('').slice(0, 200),
      expected: `at most ${limits.record_kb} KB a row`,
    });
  if (best === 0 || view?.header === undefined)
    return refused('header-unknown', { ...at, expected: `a line of column names${asNamed(named)}` });
  // a table of one column has no mark at all
  const isOneColumn = views.every(({ records }) => records.every((record) => record.cells.length === 1));
  if (winners.length > 1 && !isOneColumn)
    return refused('delimiter-ambiguous', {
      ...at,
      expected: 'one mark between the column names',
    });
  const map = headerMap(view.header.cells, delivery, known);
  const body = view.records.slice(view.records.indexOf(view.header) + 1);
  const reject = headerProblem(delivery, { header: view.header, map }, limits);
  const { delimiter, header, tail } = view;
  if (reject !== undefined)
    return { reject, header: header.cells, stores: storesBelow(header.cells, map, body) };
  return { encoding, delimiter, header, map, known, sample: body, tail };
};

const sampleOf = (bytes: Uint8Array, encoding: Encoding): DecodedLine[] | undefined => {
  const lines = decodedLines(bytes, encoding);
  if (!lines.isWhole) return undefined;
  const sample: DecodedLine[] = [];
  for (let line = lines.next(); line !== undefined && sample.length < sampleLines; line = lines.next())
    sample.push(line);
  return sample;
};

/** Says so where the first line names a mark that does not stand between column names. */
const asNamed = (mark: string | undefined): string =>
  mark === undefined ? '' : ` with "${mark === '\t' ? '\\t' : mark}" between them, as the first line says`;

/** The mark named by a first line `sep=;`, as spreadsheets write it. */
const separatorOf = (line: string): string | undefined => /^"?sep=(.)"?$/i.exec(line)?.[1];
/** Whether a record is that line. */
export const isSeparatorLine = (record: DelimitedRecord): boolean =>
  record.sourceLine === 1 && /^sep=/i.test(record.cells[0] ?? '') && record.cells.join('').length <= 5;

type View = {
  delimiter: string;
  header: DelimitedRecord | undefined;
  records: DelimitedRecord[];
  score: number;
  fit: number;
  tail: number;
  /** Where no column name is known: the first record over the limit. */
  tooLong: DelimitedRecord | undefined;
};

/** The sample as split by one delimiter: its best header line, how much of it is known, how many rows have its width. */
const viewOf = (
  sample: readonly DecodedLine[],
  delimiter: string,
  known: KnownHeaders,
  limits: Limits,
): View => {
  let at = 0;
  const next = splitRecords(() => sample[at++], delimiter, {
    width: () => 0,
    recordLength: limits.record_kb * 1024,
  });
  const records: DelimitedRecord[] = [];
  for (let record = next(); record !== undefined; record = next()) records.push(record);
  const filled = records.filter((record) => record.cells.some((cell) => cell.trim() !== ''));
  const { header, score } = bestHeader(filled.slice(0, linesAboveHeader), known);
  const width = header?.cells.length ?? 0;
  const fit = filled.filter((record) => record.cells.length === width).length;
  const tooLong = filled.find((record) => record.fault === 'too-long');
  return {
    delimiter,
    header,
    records,
    score,
    fit,
    tail: tailOf(filled, width),
    tooLong: score === 0 ? tooLong : undefined,
  };
};

/** The first line that is certainly one of column names, else the one with the most of them. */
const bestHeader = (
  records: readonly DelimitedRecord[],
  known: KnownHeaders,
): { header: DelimitedRecord | undefined; score: number } => {
  let [header, score]: [DelimitedRecord | undefined, number] = [undefined, 0];
  for (const record of records) {
    const own = headerScore(record.cells, known);
    if (own > score || header === undefined) [header, score] = [record, own];
    if (own > 0 && isColumnNames(record.cells, known)) return { header: record, score: own };
  }
  return { header, score };
};

/** The number of blank cells behind the header's width that more than half of the rows have; 0 when they do not. */
const tailOf = (records: readonly DelimitedRecord[], width: number): number => {
  const tails = records
    .filter(
      (record) =>
        record.cells.length > width && record.cells.slice(width).every((cell) => cell.trim() === ''),
    )
    .map((record) => record.cells.length - width)
    .sort((a, b) => a - b);
  const middle = tails[tails.length >> 1] ?? 0;
  return tails.filter((tail) => tail === middle).length * 2 > records.length ? middle : 0;
};
