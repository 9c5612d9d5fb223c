import { describe, expect, it } from 'vitest';
import { explainedLines } from '../../src/cli/explainedLines.ts';

const test = {
  store: 's1',
  test_id: 'T1',
  cutter: 'c1',
  cut_date: '2026-11-02',
  item: '112A',
  spec: '',
  treatment: '',
  grade: 'Choice',
  method: 'whole steaks',
  unit: 'lb',
  billed_weight: '14',
  received_weight: '14',
  purge_weight: '0.2',
  drained_weight: '13.8',
  unaccounted_weight: '0.1',
  unaccounted_yield: '0.00724637681159',
  saleable_yield: '0.91304347826087',
  main_cut_yield: '0.869565217391304',
  purchase_cost: '154',
  sales_value: '194.574',
  gross_margin: '40.574',
  margin_pct: '20.85273',
  markup_pct: '26.34675',
  minutes: '',
  labor_cost: '',
  margin_after_labor: '',
  cost_per_saleable: '12.2222',
  residual_cost: '',
  cost_factor: '',
  unpriced: '',
  state: 'used',
  reasons: '',
  likely_cause: '',
  source_file: 'inbox/a.csv',
  source_line: '2',
};
const output = {
  output: 'ribeye steak',
  class: 'main cut',
  source_line: '3',
  weight: '12',
  yield: '0.8695652',
  price: '15.99',
  sales_value: '191.88',
};
const built = {
  store: 's1',
  test_id: 'T1',
  outcome: 'main_cut',
  average: '86',
  method: '',
  grade: '0.5',
  closing: '-0.25',
  expected: '86.25',
  store_effect: '0.4',
  cutter_effect: '-0.6',
  rest: '0.9065217391304',
  sd: '1.5',
};

describe('explainedLines', () => {
  const lines = explainedLines({
    kind: 'test',
    id: 's1/T1',
    test,
    outputs: [output],
    expected: [built],
    repairs: [],
    sent: { header: ['Test', 'Weight'], rows: [{ line: 3, cells: ['T1', '12.0'] }], note: '' },
  } as never);
  const text = lines.join('\n');

  it('shows mass balance and money with their arithmetic and the line of every output', () => {
    expect(text).toContain('source: inbox/a.csv line 2');
    expect(text).toContain('as sent\n  Test | Weight\n  3: T1 | 12.0\n');
    expect(text).toContain('outputs 13.700 = unaccounted 0.100 lb (0.72 %)');
    expect(text).toContain('ribeye steak (main cut), line 3: 12.000 lb, 86.96 %; x 15.99 = 191.88');
    expect(text).toContain('purchase cost 14.000 lb x 11.0000 = 154.00');
    expect(text).toContain('gross margin 194.57 - 154.00 = 40.57: 20.85 % of sales, 26.35 % of cost');
    expect(text).toContain('labor not known: no minutes on the sheet');
  });

  it('builds the expected yield term by term, then room, cutter and what is left, up to what was measured', () => {
    const from = lines.indexOf('main cut yield, points of drained weight');
    expect(lines.slice(from + 1).map((line) => line.trim().replaceAll(/\s{2,}/g, ' '))).toEqual([
      'average of the item 86.00',
      'grade +0.50',
      'closing -0.25',
      '= expected 86.25',
      'the room (s1) +0.40',
      'the cutter (c1) -0.60',
      'this test (0.6 SD of one test) +0.91',
      '= measured 86.96',
    ]);
  });

  it('says that a held test has no expected yield', () => {
    const held = explainedLines({
      kind: 'test',
      id: 's1/T1',
      test: { ...test, state: 'held', reasons: 'mass-balance' },
      outputs: [],
      expected: [],
      repairs: [],
      sent: { header: [], rows: [], note: 'the file has changed since it was read' },
    } as never);
    expect(held).toContain('no expected yield: the test is not used');
    expect(held.join('\n')).toContain('held (mass-balance)');
    expect(held).toContain('as sent: the file has changed since it was read');
  });

  it.each([
    ['main_cut', 'main cut 86.96 %, expected 86.25 %'],
    ['lean_trim', 'lean trim 4.00 %'],
    ['unaccounted', 'unaccounted 0.72 %'],
    ['short-weight', 'billed 14.000 lb, received 14.000'],
    ['purge-high', 'purge 0.200 of 14.000 lb billed (1.43 %)'],
    ['out-of-range-pieces', '1 of 14.000 lb in all'],
    ['portion', 'main cut 86.96 %, expected 86.25 %'],
  ])('shows of each test behind a finding on %s what it looks at', (outcome, figure) => {
    const finding = { outcome, tests: 30, evidence: [{}], adjustments: [], moneyParts: [], headline: 'x' };
    const row = {
      ...test,
      expected_main_cut_yield: '0.8625',
      lean_trim_yield: '0.04',
      purge_of_billed: '0.0142857',
      pieces_in: '1',
    };
    const said = (tests: object[]): string[] =>
      explainedLines({ kind: 'finding', id: 'f', finding, effects: [], prices: [], tests } as never);
    expect(said([row]).slice(-2)).toEqual([
      'tests behind it (1 of 30, those that tell most or the last; all stand in tests.csv)',
      `  s1/T1  cut 2026-11-02, ${figure}  inbox/a.csv line 2`,
    ]);
    expect(said([]).at(-1)).toMatch(/^it rests on no single test/);
  });
});
