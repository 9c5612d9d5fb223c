import { fileFault } from './fileFault.ts';
import { type KnownHeaders, plainHeader } from './headerMap.ts';
import type { Delivery, Reject } from './ingested.ts';
import type { DelimitedRecord } from './splitRecords.ts';

/** A number, or one with a unit of weight behind it. */
const weightLike = /^[-+]?(?:\d+(?:[.,-]\d+)?|[.,]\d+)\s*(?:lbs?|kgs?|oz|g)?$/i;

/**
 * In the wide layout a column of weights under a name that is not known may be an output, and would be lost without a word.
 * `see` takes every row; `doubt` is the first column of which more than half of the filled cells read like weights.
 */
export const unreadWeights = (
  delivery: Delivery,
  header: DelimitedRecord,
  known: KnownHeaders,
): { see: (record: DelimitedRecord) => void; doubt: () => Reject | undefined } => {
  const columns = (delivery.sender.layout === 'wide' ? header.cells : []).flatMap((name, column) =>
    name.trim() === '' || known.has(plainHeader(name)) ? [] : [{ name, column, filled: 0, weights: 0 }],
  );
  return {
    see: ({ cells }) => {
      for (const one of columns) {
        const text = (cells[one.column] ?? '').trim();
        if (text === '') continue;
        one.filled++;
        if (weightLike.test(text)) one.weights++;
      }
    },
    doubt: () => {
      const found = columns.find(({ filled, weights }) => 2 * weights > filled);
      return found === undefined
        ? undefined
        : fileFault(delivery.path, 'column-doubtful', {
            sourceLine: header.sourceLine,
            byteOffset: header.byteOffset,
            field: found.name.trim(),
            found: found.name,
            expected: 'an output or a column of ours, or a name listed under ignore',
          });
    },
  };
};
