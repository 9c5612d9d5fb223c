import { describe, expect, it } from 'vitest';
import type { LakeRows } from '../../src/lake/lakeRows.ts';
import { cutterRecord } from '../../src/publish/cutterRecord.ts';

const version = (testId: string, cutter: string) => ({
  batch: 'a',
  table: {
    count: 1,
    tests: { store: ['s'], testId: [testId], cutter: [cutter] },
    outputs: { output: ['fat'] },
    starts: [0, 1],
  },
  place: 0,
});
const lake = {
  tests: [version('1', 'c-1'), version('2', 'c-2'), version('1', 'c-1')],
  portions: [
    { store: 's', testId: '1', piece: '1', batch: 'p' },
    { store: 's', testId: '2', piece: '1', batch: 'p' },
  ],
} as unknown as LakeRows;
const held = {
  lake,
  reference: {
    cutters: ['c-1', 'c-2'].map((cutter) => ({ cutter, name: '', store: 's', since: Number.NaN })),
    coaching: [{ cutter: 'c-2', item: '', habit: '', coachedOn: 1, by: '' }],
  },
  results: [
    {
      name: 'tests',
      rows: [
        { store: 's', test_id: '1', cutter: 'c-1' },
        { store: 's', test_id: '2', cutter: 'c-2' },
      ],
    },
    {
      name: 'test-outputs',
      rows: [
        { store: 's', test_id: '1', output: 'fat' },
        { store: 's', test_id: '2', output: 'fat' },
      ],
    },
    {
      name: 'effects',
      rows: [
        { kind: 'cutter', id: 'c-1' },
        { kind: 'store', id: 's' },
      ],
    },
  ],
};
const counts = (cutter: string) => cutterRecord(cutter, held).map(({ name, rows }) => [name, rows.length]);

describe('cutterRecord', () => {
  it('holds every version of each test with outputs and pieces, and every row that names the cutter or a test of theirs', () => {
    expect(counts('c-1')).toEqual([
      ['lake/tests', 2],
      ['lake/outputs', 2],
      ['lake/portions', 1],
      ['reference/cutters', 1],
      ['results/tests', 1],
      ['results/test-outputs', 1],
      ['results/effects', 1],
    ]);
  });

  it('holds nothing of nobody', () => {
    expect(counts('c-3')).toEqual([]);
  });
});
