import { describe, expect, it } from 'vitest';
import { buying } from '../../../src/findings/buying/buying.ts';
import { formats } from '../../../src/publish/pages/formats.ts';
import { worthTable } from '../../../src/publish/pages/worthTable.ts';
import {
  boughtLine,
  boughtModel,
  boughtQuote,
  boughtSettings,
  manyTests,
} from '../../findings/buying/boughtChain.ts';

const used = [...manyTests(20), ...manyTests(20, { supplier: 'South', drainedKg: 9.6 }, 's')];
const { indifference } = buying(
  {
    used,
    outputs: used.map((test) => boughtLine(test)),
    modeled: { weightModels: [boughtModel()] },
    chain: boughtSettings,
  },
  [
    boughtQuote(),
    boughtQuote({ supplier: 'South', weightClass: 'giant' }),
    boughtQuote({ supplier: 'South' }),
  ],
  100,
);

describe('what each offer is worth against each other', () => {
  const table = worthTable('Rib', indifference, formats(boughtSettings));

  it('gives both forms with their intervals and the price asked, of what can be answered', () => {
    const row = table.rows.find((cells) => cells[0] === 'mid G, North' && cells[2] === 'mid G, South');
    // 9 x 0.96 / 0.98; 9 + 0.96 x 15 - 0.98 x 15, its reach 1.96 x 0.02 x sqrt(0.02) = 0.0055
    expect(row?.slice(1)).toEqual([
      '$9.00',
      'mid G, South',
      '$8.82 ($8.82 to $8.82)',
      '$8.70 ($8.69 to $8.71)',
      '$9.00',
    ]);
    expect(table.rows.some((cells) => String(cells[2]).startsWith('giant'))).toBe(false);
  });

  it('is empty without answers', () => {
    expect(worthTable('Rib', [], formats(boughtSettings)).rows).toEqual([]);
  });
});
