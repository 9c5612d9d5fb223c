import { stringify } from 'csv-stringify/sync';
import type { Recorded } from '../../pipelines/record.ts';
import { counted } from '../units/counted.ts';

/** What `deckle record` prints: where each thing is held, and its rows as CSV. Missing numbers are empty cells. */
export const recordLines = ({ cutter, code, tables }: Recorded): string[] => [
  `all that is held of cutter ${cutter}, who appears as ${code} on the trainer's pages; what stores sent is in inbox/`,
  ...tables.flatMap(({ name, rows }) => [
    '',
    `${name}: ${counted(rows.length, 'row')}`,
    stringify(rows, {
      header: true,
      cast: { number: (value) => (Number.isNaN(value) ? '' : String(value)) },
    }).trimEnd(),
  ]),
];
