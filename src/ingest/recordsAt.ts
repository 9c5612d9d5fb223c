import type { Chain } from '../catalog/chain.ts';
import { type DecodedLine, decodedLines } from './decodedLines.ts';
import { dialectOf } from './dialectOf.ts';
import { encodingOf } from './encodingOf.ts';
import type { Delivery } from './ingested.ts';
import { splitRecords } from './splitRecords.ts';

/**
 * The cells, as sent, of the records that start on the given lines, in the order of the file: read again only where rows
 * are given back. Lines between them are not split.
 */
export const recordsAt = (
  delivery: Delivery,
  sourceLines: ReadonlySet<number>,
  limits: Chain['limits'],
): Map<number, readonly string[]> => {
  const found = new Map<number, readonly string[]>();
  const encoding = encodingOf(delivery.bytes, delivery.sender.encoding);
  if (encoding === undefined || sourceLines.size === 0) return found;
  const dialect = dialectOf(delivery, encoding, limits);
  if ('reject' in dialect) return found;
  const { delimiter, header } = dialect;
  const setting = { width: () => header.cells.length, recordLength: limits.record_kb * 1024 };
  const nextLine = decodedLines(delivery.bytes, encoding).next;
  let ahead: DecodedLine[] = [];
  const take = (): DecodedLine | undefined => ahead.shift() ?? nextLine();
  for (let line = take(); line !== undefined && found.size < sourceLines.size; line = take()) {
    if (!sourceLines.has(line.sourceLine)) continue;
    const taken: DecodedLine[] = [];
    const lines = [line];
    const record = splitRecords(
      () => {
        const next = lines.shift() ?? take();
        if (next !== undefined) taken.push(next);
        return next;
      },
      delimiter,
      setting,
    )();
    if (record !== undefined) found.set(record.sourceLine, record.cells);
    ahead = [...taken.slice(record?.lines ?? 1), ...ahead];
  }
  return found;
};
