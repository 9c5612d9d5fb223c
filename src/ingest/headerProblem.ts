import { nearestWord } from '../tables/nearestWord.ts';
import { fileFault } from './fileFault.ts';
import { type HeaderMap, plainHeader } from './headerMap.ts';
import type { Delivery, Reject } from './ingested.ts';
import type { DelimitedRecord } from './splitRecords.ts';

/** A line of column names as matched to ours. */
type Matched = { header: DelimitedRecord; map: HeaderMap };

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
      field: plainTarget(twice),
      expected: `one column for ${plainTarget(twice)}`,
    });
  const [missing] = map.missing;
  if (missing !== undefined)
    return fileFault(delivery.path, 'column-missing', {
      ...at,
      field: missing,
      expected: missingColumns(delivery, matched),
    });
  const [doubt] = map.doubtful;
  if (doubt === undefined) return undefined;
  const name = plainTarget(doubt[1]);
  return fileFault(delivery.path, 'column-doubtful', {
    ...at,
    field: name,
    found: doubt[0],
    expected: `a known column name; is "${name}" meant?`,
  });
};

/** Our name of a column, or the output that a column of the wide layout holds. */
const plainTarget = (target: string): string => target.replace(/^wide:/, '');

/** The columns that are missing, with the name or the layout that may be meant. */
const missingColumns = ({ sender, outputs = [] }: Delivery, { header, map }: Matched): string => {
  const missing = map.missing[0] as string;
  if (sender.layout === 'wide' && missing === 'output')
    return 'a column for each output as layout: wide of this sender says';
  const names = header.cells.map(plainHeader);
  const own = new Set(outputs.flatMap(({ output, aliases }) => [output, ...aliases]).map(plainHeader));
  const all = `a column for ${map.missing.join(', ')}`;
  if (missing === 'output' && names.filter((name) => own.has(name)).length > 1)
    return `${all}; columns named after outputs are read with layout: wide for this sender`;
  const near = nearestWord(plainHeader(missing), names);
  const meant = header.cells.find((cell) => near !== '' && plainHeader(cell) === near);
  return meant === undefined ? all : `${all}; is "${meant.trim()}" meant?`;
};
