import { describe, expect, it } from 'vitest';
import { repairsFile } from '../../../src/publish/results/repairsFile.ts';
import { writtenFile } from '../../../src/publish/results/resultsFile.ts';
import { kgPerLb } from '../../../src/units/weight.ts';

const row = {
  store: 's1',
  testId: 't1',
  reason: 'unit-suspect',
  chance: 0.995,
  cause: 'All weights read as if written in kg.',
};

describe('repairs.csv', () => {
  it('shows each number as sent and as repaired in the chain’s unit, a unit cost per that unit', () => {
    const rows = [
      { ...row, field: 'received' as const, output: '', sent: 6 * kgPerLb, repaired: 13.2 * kgPerLb },
      { ...row, field: 'unit_cost' as const, output: '', sent: 22 / kgPerLb, repaired: 10 / kgPerLb },
      { ...row, field: 'output' as const, output: 'fat', sent: 1 * kgPerLb, repaired: 2.2 * kgPerLb },
    ];
    const { text } = writtenFile(repairsFile('lb'), rows, { unit: 'lb', unitKg: kgPerLb, currency: 'USD' });
    const cells = text
      .trim()
      .split('\r\n')
      .map((line) => line.split(','));
    expect(cells[0]?.slice(0, 7)).toEqual([
      'store',
      'test_id',
      'field',
      'output',
      'as_sent',
      'repaired',
      'unit',
    ]);
    expect(cells.slice(1).map((line) => line.slice(2, 4))).toEqual([
      ['received', ''],
      ['unit_cost', ''],
      ['output', 'fat'],
    ]);
    expect(cells.slice(1).map((line) => [Number(line[4]), Number(line[5])])).toEqual([
      [expect.closeTo(6, 9), expect.closeTo(13.2, 9)],
      [expect.closeTo(22, 9), expect.closeTo(10, 9)],
      [expect.closeTo(1, 9), expect.closeTo(2.2, 9)],
    ]);
  });
});
