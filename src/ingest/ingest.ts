import type { Chain, SenderEntry } from '../catalog/chain.ts';
import { nearestWord } from '../tables/nearestWord.ts';
import { type CellFormats, cellFormats } from './cellFormats.ts';
import { decodeText } from './decodeText.ts';
import { fileFault } from './fileFault.ts';
import { type HeaderMap, headerMap, headerScore, plainHeader } from './headerMap.ts';
import type { IngestedTable, Reject, SchemaField, TypedLine } from './ingested.ts';
import { type DelimitedRecord, splitRecords } from './splitRecords.ts';
import { type Reading, typedLine } from './typedLine.ts';

export type Delivery = {
  path: string;
  bytes: Uint8Array;
  sender: SenderEntry;
  fields: readonly SchemaField[];
};
type Setting = { limits: Chain['limits']; asOfDay: number };

const delimiters = [',', ';', '\t', '|'];

/** One delivered file to typed lines and rejects. Never throws for what is in the file; a file in doubt is quarantined. */
export const ingest = (delivery: Delivery, setting: Setting): IngestedTable => {
  if (delivery.bytes.byteLength > setting.limits.file_mb * 1e6)
    return quarantined(
      delivery,
      fileFault(delivery.path, 'limit-exceeded', {
        found: `${delivery.bytes.byteLength} bytes`,
        expected: `at most ${setting.limits.file_mb} MB`,
      }),
    );
  const decoded = decodeText(delivery.bytes, delivery.sender.encoding);
  if (decoded === undefined)
    return quarantined(
      delivery,
      fileFault(delivery.path, 'encoding-invalid', {
        expected: delivery.sender.encoding ?? 'UTF-8 or Windows-1252',
      }),
    );
  const separatorLine = /^sep=(.)\r?\n/i.exec(decoded);
  const text = separatorLine === null ? decoded : decoded.slice(separatorLine[0].length);
  const delimiter = delivery.sender.delimiter ?? separatorLine?.[1] ?? delimiterOf(text, delivery);
  if (delimiter === '')
    return quarantined(
      delivery,
      fileFault(delivery.path, 'delimiter-ambiguous', {
        found: text.slice(0, 60).split(/\r?\n/)[0] ?? '',
        expected: 'one mark between recognized column names',
      }),
    );
  const split = splitRecords(text, delimiter);
  if (split.brokenFrom > 0)
    return quarantined(
      delivery,
      fileFault(delivery.path, 'quote-broken', {
        sourceLine: split.brokenFrom,
        expected: 'closed quotation marks',
      }),
    );
  const records =
    separatorLine === null
      ? split.records
      : split.records.map((record) => ({ ...record, sourceLine: record.sourceLine + 1 }));
  return tabled(delivery, records, setting);
};

const quarantined = (_delivery: Delivery, reject: Reject): IngestedTable => ({
  state: 'quarantined',
  header: [],
  lines: [],
  rejects: [reject],
  refused: [],
  rowsRead: 0,
  blank: 0,
  ignored: 0,
});

const delimiterOf = (text: string, delivery: Delivery): string => {
  const line = text.split(/\r?\n/).find((candidate) => candidate.trim() !== '') ?? '';
  const scored = delimiters.map((delimiter) => ({
    delimiter,
    score: headerScore(
      splitRecords(line, delimiter).records[0]?.cells ?? [],
      delivery.fields,
      delivery.sender,
    ),
  }));
  const best = Math.max(...scored.map((entry) => entry.score));
  const winners = scored.filter((entry) => entry.score === best);
  return best > 0 && winners.length === 1 ? (winners[0]?.delimiter ?? '') : '';
};

const isBlank = (record: DelimitedRecord): boolean => record.cells.every((cell) => cell.trim() === '');

const tabled = (delivery: Delivery, records: DelimitedRecord[], setting: Setting): IngestedTable => {
  const at = records.findIndex((record) => !isBlank(record));
  const header = records[at];
  if (header === undefined)
    return quarantined(
      delivery,
      fileFault(delivery.path, 'header-unknown', { expected: 'a line of column names' }),
    );
  const map = headerMap(header.cells, delivery.fields, delivery.sender);
  const problem = headerProblem(delivery, header, map, setting);
  if (problem !== undefined) return quarantined(delivery, problem);
  const body = records.slice(at + 1);
  const isFooter = (record: DelimitedRecord): boolean =>
    delivery.sender.footer.some((pattern) => new RegExp(pattern, 'iu').test(record.cells.join(' ')));
  const isHeaderAgain = (record: DelimitedRecord): boolean =>
    record.cells.length === header.cells.length &&
    record.cells.every((cell, i) => plainHeader(cell) === plainHeader(header.cells[i] as string));
  const blank = body.filter(isBlank).length;
  const filled = body.filter((record) => !isBlank(record));
  const kept = filled.filter((record) => !isFooter(record) && !isHeaderAgain(record));
  const formats = formatsOf(delivery, map, kept);
  if ('code' in formats) return { ...quarantined(delivery, formats), rowsRead: body.length, blank: 0 };
  const typed = typedLines(delivery, { map, header: header.cells, formats }, kept, setting.asOfDay);
  return {
    state: 'ingested',
    header: header.cells,
    ...typed,
    rowsRead: body.length,
    blank,
    ignored: filled.length - kept.length,
  };
};

const headerProblem = (
  delivery: Delivery,
  header: DelimitedRecord,
  map: HeaderMap,
  { limits }: Setting,
): Reject | undefined => {
  const at = { sourceLine: header.sourceLine, found: header.cells.join(' | ').slice(0, 200) };
  if (header.cells.length > limits.columns)
    return fileFault(delivery.path, 'limit-exceeded', {
      ...at,
      found: `${header.cells.length} columns`,
      expected: `at most ${limits.columns} columns`,
    });
  if (map.duplicated[0] !== undefined)
    return fileFault(delivery.path, 'column-duplicate', {
      ...at,
      field: map.duplicated[0],
      expected: `one column for ${map.duplicated[0]}`,
    });
  const missing = map.missing[0];
  if (missing === undefined) return undefined;
  const near = nearestWord(missing, header.cells.map(plainHeader));
  return fileFault(delivery.path, 'column-missing', {
    ...at,
    field: missing,
    expected: `a column for ${map.missing.join(', ')}${near === '' ? '' : `; is "${near}" meant?`}`,
  });
};

const formatsOf = (
  delivery: Delivery,
  map: HeaderMap,
  kept: readonly DelimitedRecord[],
): CellFormats | Reject => {
  const typeOf = new Map<string, string>(delivery.fields.map((field) => [field.name, field.type]));
  const cellsOf = (wanted: (target: string) => boolean): string[] => {
    const places = map.targets.flatMap((target, i) => (wanted(target) ? [i] : []));
    return kept.flatMap((record) => places.map((place) => record.cells[place] ?? ''));
  };
  const numbers = cellsOf((target) => target.startsWith('wide:') || typeOf.get(target) === 'number');
  const decided = cellFormats(
    numbers,
    cellsOf((target) => typeOf.get(target) === 'date'),
    {
      ...(delivery.sender.decimal === undefined ? {} : { decimal: delivery.sender.decimal }),
      ...(delivery.sender.dates === undefined ? {} : { dates: delivery.sender.dates }),
    },
  );
  if (decided.decimal === 'ambiguous')
    return fileFault(delivery.path, 'decimal-ambiguous', { expected: 'numbers that can be read in one way' });
  return decided.dates === 'ambiguous'
    ? fileFault(delivery.path, 'date-order-ambiguous', { expected: 'dates that can be read in one way' })
    : { decimal: decided.decimal, dates: decided.dates };
};

const typedLines = (
  delivery: Delivery,
  reading: Reading,
  kept: readonly DelimitedRecord[],
  asOfDay: number,
): Pick<IngestedTable, 'lines' | 'rejects' | 'refused'> => {
  const lines: TypedLine[] = [];
  const rejects: Reject[] = [];
  const refused: IngestedTable['refused'] = [];
  for (const record of kept) {
    const { line, faults } = typedLine(delivery, reading, record, asOfDay);
    if (faults.length === 0) lines.push(line);
    else {
      for (const one of faults) rejects.push(one);
      refused.push({
        sourceLine: record.sourceLine,
        record: record.cells,
        storeAndTest: storeAndTest(line, delivery.sender),
      });
    }
  }
  return { lines, rejects, refused };
};

const storeAndTest = (line: TypedLine, sender: SenderEntry): string =>
  `${line.values['store'] ?? sender.defaults.store ?? ''}\u0000${line.values['test_id'] ?? ''}`;
