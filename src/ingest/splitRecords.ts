import { parse } from 'csv-parse/sync';

/** One record: its cells, the line it starts on (header counted, from 1) and the byte offset of its start in UTF-8. */
export type DelimitedRecord = { cells: string[]; sourceLine: number; byteOffset: number };

/**
 * Splits delimited text (RFC 4180 quoting; CRLF, LF or mixed). Blank lines come back as records of one empty cell.
 * `brokenFrom`: the line where quoting went wrong and from which on nothing is returned; 0 when all went well.
 */
export const splitRecords = (
  text: string,
  delimiter: string,
): { records: DelimitedRecord[]; brokenFrom: number } => {
  const records: DelimitedRecord[] = [];
  let nextLine = 1;
  let nextByte = 0;
  const take = (record: string[], info: { lines: number; bytes: number }): null => {
    records.push({ cells: record, sourceLine: nextLine, byteOffset: nextByte });
    nextLine = info.lines + 1;
    nextByte = info.bytes;
    return null;
  };
  try {
    parse(text, {
      delimiter,
      relax_column_count: true,
      record_delimiter: ['\r\n', '\n'],
      on_record: (record, info) =>
        take(record as unknown as string[], info as unknown as { lines: number; bytes: number }),
    });
  } catch {
    return { records, brokenFrom: nextLine };
  }
  return { records, brokenFrom: 0 };
};
