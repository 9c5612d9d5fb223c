import type { CellFormats } from './cellFormats.ts';
import { fileFault } from './fileFault.ts';
import type { HeaderMap } from './headerMap.ts';
import type { Delivery, Reject, SchemaField, TypedLine } from './ingested.ts';
import type { DelimitedRecord } from './splitRecords.ts';
import { typedCell } from './typedCell.ts';

/** How the file is read: where each column stands and how numbers and dates are written. */
export type Reading = { map: HeaderMap; header: readonly string[]; formats: CellFormats };

const weightOfOutput: SchemaField = { name: 'output_weight', type: 'number', constraints: { minimum: 0 } };

/** One record as typed values, with a fault per cell that is not what its column holds. */
export const typedLine = (
  delivery: Delivery,
  reading: Reading,
  record: DelimitedRecord,
  asOfDay: number,
): { line: TypedLine; faults: Reject[] } => {
  const at = { sourceLine: record.sourceLine, byteOffset: record.byteOffset };
  const faults: Reject[] = [];
  const cellAt = new Map(reading.map.targets.map((target, i) => [target, record.cells[i] ?? '']));
  const typed = (raw: string, field: SchemaField, name: string): string | number => {
    const cell = typedCell(raw, field, reading.formats, asOfDay);
    if ('value' in cell) return cell.value;
    faults.push(
      fileFault(delivery.path, cell.code, {
        ...at,
        field: name,
        found: raw.slice(0, 200),
        expected: cell.expected,
      }),
    );
    return field.type === 'string' ? '' : Number.NaN;
  };
  if (record.cells.length !== reading.header.length) {
    faults.push(
      fileFault(delivery.path, 'cell-count', {
        ...at,
        found: `${record.cells.length} cells`,
        expected: `${reading.header.length} cells`,
      }),
    );
  }
  const isWide = delivery.sender.layout === 'wide' && Object.keys(delivery.sender.wide).length > 0;
  const defaults = delivery.sender.defaults as Record<string, string | undefined>;
  const values: Record<string, string | number> = Object.create(null);
  for (const field of delivery.fields) {
    if (isWide && field.name.startsWith('output')) continue;
    const sent = cellAt.get(field.name) ?? '';
    values[field.name] = typed(sent.trim() === '' ? (defaults[field.name] ?? sent) : sent, field, field.name);
  }
  const wideOutputs = Object.keys(delivery.sender.wide).map((output): [string, number] => [
    output,
    typed(cellAt.get(`wide:${output}`) ?? '', weightOfOutput, output) as number,
  ]);
  return { line: { values, wideOutputs: isWide ? wideOutputs : [], ...at, record: record.cells }, faults };
};
