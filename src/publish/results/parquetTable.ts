import { parquetWriteBuffer } from 'hyparquet-writer';
import { dayFromIso } from '../../units/calendarDay.ts';
import type { ResultRow } from './resultRows.ts';

/** A column of a results file as its Table Schema has it. */
export type TypedField = { name: string; type: 'string' | 'number' | 'integer' | 'date' | 'boolean' };

/** How each type is stored; only texts are never missing ('' is one). */
const elements = {
  string: { type: 'BYTE_ARRAY', converted_type: 'UTF8', repetition_type: 'REQUIRED' },
  number: { type: 'DOUBLE', repetition_type: 'OPTIONAL' },
  integer: { type: 'INT32', repetition_type: 'OPTIONAL' },
  date: { type: 'INT32', converted_type: 'DATE', repetition_type: 'OPTIONAL' },
  boolean: { type: 'BOOLEAN', repetition_type: 'OPTIONAL' },
} as const;

/**
 * Rows of a results file as one Parquet file (snappy), for any engine that reads it: texts, doubles, 32-bit integers, days
 * and truths. Missing numbers, days and truths are null.
 */
export const parquetTable = (fields: readonly TypedField[], rows: readonly ResultRow[]): Uint8Array =>
  new Uint8Array(
    parquetWriteBuffer({
      columnData: fields.map(({ name, type }) => ({
        name,
        data: rows.map((row) => parquetValue(row[name] ?? '', type)),
      })),
      schema: [
        { name: 'root', num_children: fields.length },
        ...fields.map(({ name, type }) => ({ name, ...elements[type] })),
      ],
    }),
  );

const parquetValue = (cell: string, type: TypedField['type']): string | number | boolean | null => {
  if (type === 'string') return cell;
  if (cell === '') return null;
  if (type === 'boolean') return cell === 'true';
  return type === 'date' ? dayFromIso(cell) : Number(cell);
};
