import type { Chain } from '../catalog/chain.ts';
import { bodyRecords } from './bodyRecords.ts';
import { dialectOf } from './dialectOf.ts';
import { encodingOf } from './encodingOf.ts';
import type { Delivery } from './ingested.ts';

/** The cells, as sent, of the records that start on the given lines: read again only where rows are given back. */
export const recordsAt = (
  delivery: Delivery,
  sourceLines: ReadonlySet<number>,
  limits: Chain['limits'],
): Map<number, readonly string[]> => {
  const found = new Map<number, readonly string[]>();
  const encoding = encodingOf(delivery.bytes, delivery.sender.encoding);
  if (encoding === undefined || sourceLines.size === 0) return found;
  const dialect = dialectOf(delivery, encoding, limits);
  if ('code' in dialect) return found;
  bodyRecords(delivery, dialect, limits, ({ record }) => {
    if (sourceLines.has(record.sourceLine)) found.set(record.sourceLine, record.cells);
  });
  return found;
};
