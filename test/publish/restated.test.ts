import { describe, expect, it } from 'vitest';
import { restated } from '../../src/publish/restated.ts';

const row = (test_id: string, source_file: string, over = {}) => ({
  store: 's',
  test_id,
  source_file,
  source_line: '2',
  drained_weight: '12.5',
  saleable_yield: '0.8',
  minutes: '',
  ...over,
});

describe('restated', () => {
  it('lists the figures of a test that another version moved, and by how much', () => {
    const found = restated(
      [row('1', 'a.csv'), row('2', 'a.csv')],
      [row('1', 'b.csv', { drained_weight: '12.25', minutes: '6' }), row('2', 'a.csv')],
    );
    expect(found).toEqual([
      {
        store: 's',
        testId: '1',
        was: 'a.csv line 2',
        now: 'b.csv line 2',
        moved: [
          { figure: 'drained_weight', was: '12.5', now: '12.25', by: -0.25 },
          { figure: 'minutes', was: '', now: '6', by: Number.NaN },
        ],
      },
    ]);
  });
  it('names a withdrawn test, and nothing for a new one or one sent again unchanged', () => {
    const found = restated([row('1', 'a.csv'), row('2', 'a.csv')], [row('2', 'b.csv'), row('3', 'b.csv')]);
    expect(found).toMatchObject([{ testId: '1', now: '', moved: [] }]);
  });
  it('does not name a test that is no longer kept', () => {
    const before = [
      row('1', 'a.csv', { cut_date: '2025-10-31' }),
      row('2', 'a.csv', { cut_date: '2025-11-01' }),
    ];
    expect(restated(before, [], 20393).map((test) => test.testId)).toEqual(['2']);
  });
  it('does not call it restated when only what the model expects has moved', () => {
    const expected = { expected_saleable_yield: '0.81' };
    expect(restated([row('1', 'a.csv')], [row('1', 'a.csv', expected)])).toEqual([]);
  });
});
