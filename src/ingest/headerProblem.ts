import { nearestWord } from '../tables/nearestWord.ts';
import { fileFault } from './fileFault.ts';
import { type HeaderMap, type KnownHeaders, plainHeader } from './headerMap.ts';
import type { Delivery, Reject } from './ingested.ts';
import type { DelimitedRecord } from './splitRecords.ts';

/** A line of column names as matched to ours, and the first records below it. */
type Matched = {
  header: DelimitedRecord;
  map: HeaderMap;
  known: KnownHeaders;
  body: readonly DelimitedRecord[];
};

/** What ends lines elsewhere: among the column names it says that rows stand in their line. */
const otherLineEnd = /[\r\v\f\u0085\u2028\u2029]/;
const visibleEnds = (text: string): string =>
  text.replace(
    new RegExp(otherLineEnd, 'g'),
    (end) => `\\u${end.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );

/** Why a file cannot be read under its column names; undefined where it can. */
export const headerProblem = (
  delivery: Delivery,
  matched: Matched,
  limits: { columns: number },
): Reject | undefined => {
  const { header, map } = matched;
  const at = {
    sourceLine: header.sourceLine,
    byteOffset: header.byteOffset,
    found: header.cells.join(' | ').slice(0, 200),
  };
  if (header.fault === 'not-text')
    return fileFault(delivery.path, 'encoding-invalid', { ...at, expected: 'text in one encoding' });
  if (header.cells.some((cell) => otherLineEnd.test(cell)))
    return fileFault(delivery.path, 'header-unknown', {
      ...at,
      found: visibleEnds(at.found),
      expected: 'lines that all end in LF, CRLF, or CR alone',
    });
  if (header.fault !== '')
    return fileFault(delivery.path, 'quote-broken', { ...at, expected: 'closed quotes' });
  if (header.cells.length > limits.columns)
    return fileFault(delivery.path, 'limit-exceeded', {
      ...at,
      found: `${header.cells.length} columns`,
      expected: `at most ${limits.columns} columns`,
    });
  const [twice] = map.duplicated;
  if (twice !== undefined)
    return fileFault(delivery.path, 'column-duplicate', {
      ...at,
      field: twice,
      expected: `one column for ${twice}`,
    });
  const [missing] = map.missing;
  if (missing !== undefined) {
    const near = nearestWord(plainHeader(missing), header.cells.map(plainHeader));
    const meant = header.cells.find((cell) => near !== '' && plainHeader(cell) === near);
    return fileFault(delivery.path, 'column-missing', {
      ...at,
      field: missing,
      expected: `a column for ${map.missing.join(', ')}${meant === undefined ? '' : `; is "${meant.trim()}" meant?`}`,
    });
  }
  const [doubt] = map.doubtful;
  return doubt === undefined
    ? unreadWeights(delivery, matched)
    : fileFault(delivery.path, 'column-doubtful', {
        ...at,
        field: doubt[1],
        found: doubt[0],
        expected: `a known column name; is "${doubt[1]}" meant?`,
      });
};

/** In the wide layout a column of numbers under a name that is not known may be an output, and its weights would be lost. */
const unreadWeights = (delivery: Delivery, { header, known, body }: Matched): Reject | undefined => {
  if (delivery.sender.layout !== 'wide') return undefined;
  const isOfNumbers = (column: number): boolean => {
    const texts = body.map((record) => (record.cells[column] ?? '').trim()).filter((text) => text !== '');
    return texts.length > 0 && texts.every((text) => /^\d+(?:[.,-]\d+)?$/.test(text));
  };
  const found = header.cells.find(
    (cell, column) => cell.trim() !== '' && !known.has(plainHeader(cell)) && isOfNumbers(column),
  );
  return found === undefined
    ? undefined
    : fileFault(delivery.path, 'column-doubtful', {
        sourceLine: header.sourceLine,
        byteOffset: header.byteOffset,
        field: found.trim(),
        found,
        expected: 'an output or a column of ours, or a name listed under ignore',
      });
};
