import { fileFault } from './fileFault.ts';
import { headerMap, knownHeaders } from './headerMap.ts';
import type { Delivery, IngestedTable, NamedFields, Reject, SchemaField } from './ingested.ts';

/** Columns that must fit before a table is named that lacks some of its own. */
const fewestColumns = 2;

/** How many column names are those of a table, and whether all that it must have are there. */
const fitOf = (header: readonly string[], delivery: Delivery): { fit: number; isWhole: boolean } => {
  const { targets, missing } = headerMap(header, delivery, knownHeaders(delivery));
  const own = new Set(delivery.fields.map((field) => field.name));
  return { fit: targets.filter((target) => own.has(target)).length, isWhole: missing.length === 0 };
};

/**
 * Says of a file that is neither of the kinds that stores send, and whose column names fit a reference table better, which
 * table that is and where it belongs; undefined of any other.
 */
export const misplacedTable = (
  { header, rejects }: IngestedTable,
  delivery: Delivery,
  { sent, tables }: { sent: readonly (readonly SchemaField[])[]; tables: readonly NamedFields[] },
): Reject | undefined => {
  const long = { ...delivery, sender: { ...delivery.sender, layout: 'long' as const, defaults: {} } };
  const ofSent = Math.max(...sent.map((fields) => fitOf(header, { ...long, fields }).fit));
  const [best] = tables
    .map(({ name, fields }) => ({ name, ...fitOf(header, { ...long, fields }) }))
    .filter(({ fit, isWhole }) => (isWhole && fit >= ofSent) || fit > Math.max(ofSent, fewestColumns - 1))
    .sort((a, b) => b.fit - a.fit || Number(b.isWhole) - Number(a.isWhole));
  const [about] = rejects;
  if (best === undefined || about === undefined) return undefined;
  const { sourceLine, byteOffset, found } = about;
  return fileFault(delivery.path, 'table-misplaced', {
    ...{ sourceLine, byteOffset, found },
    expected: `cutting tests or portions; a table of ${best.name} belongs in reference/${best.name}.csv`,
  });
};
