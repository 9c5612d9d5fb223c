import type { RepairRow } from '../../review/reviewed.ts';
import { kilogramsPer } from '../../units/weight.ts';
import { column, type ResultsFile } from './resultsFile.ts';

const { text, number } = column;

/** repairs.csv: every number that the review replaced, as sent and as repaired, so that each can be put back. */
export const repairsFile = (unit: 'lb' | 'kg'): ResultsFile<RepairRow> => {
  const unitKg = kilogramsPer(unit);
  /** Weights print in the chain's unit, a unit cost per that unit. */
  const printed = (row: RepairRow, value: number): number =>
    row.field === 'unit_cost' ? value * unitKg : value / unitKg;
  return {
    name: 'repairs',
    description:
      'One row a number replaced in a repaired test. Weights in the unit of the row, unit_cost per that unit; as_sent puts it back.',
    key: ['store', 'test_id', 'field', 'output'],
    columns: [
      text('store', 'store that cut the test', (r) => r.store),
      text('test_id', "the store's own number of the test", (r) => r.testId),
      text('field', 'received, purge, added, billed, unit_cost or output', (r) => r.field),
      text('output', 'the output line; empty = a weight of the test', (r) => r.output),
      number('as_sent', '', 'the number as sent', (r) => printed(r, r.sent)),
      number('repaired', '', 'the number used instead', (r) => printed(r, r.repaired)),
      text('unit', 'unit of both', () => unit),
      text('reason', 'code of the mistake', (r) => r.reason),
      number('chance', 'fraction', 'how sure the mistake is', (r) => r.chance),
      text('likely_cause', 'the mistake in words', (r) => r.cause),
    ],
  };
};
