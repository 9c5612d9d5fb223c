import type { Explained } from '../../pipelines/explain.ts';
import { countedTests } from '../units/counted.ts';

type Row = Record<string, string>;

const shown = 20;
/** A cell rounded for reading; `none` where it is empty. */
const round = (cell: string | undefined, digits: number, none = 'not known'): string =>
  cell === undefined || cell === '' ? none : Number(cell).toFixed(digits);
const weight = (cell: string | undefined, none?: string): string => round(cell, 3, none);
const money = (cell: string | undefined, none?: string): string => round(cell, 2, none);
const percent = (cell: string | undefined): string =>
  cell === undefined || cell === '' ? 'not known' : `${(100 * Number(cell)).toFixed(2)} %`;
const points = (value: number): string => `${value < 0 ? '-' : '+'}${Math.abs(value).toFixed(2)}`;

/** What `deckle explain` prints: every number with its arithmetic, back to file and line. */
export const explainedLines = (explained: Explained): string[] => {
  switch (explained.kind) {
    case 'test':
      return testLines(explained);
    case 'finding':
      return findingLines(explained);
    case 'reject-code':
      return [
        `${explained.id}: ${explained.message}`,
        `what to do: ${explained.remedy}`,
        `Frictionless error type: ${explained.frictionless}`,
        ...listed(`${explained.rejects.length} in the current release`, explained.rejects, (row) =>
          [
            `${row['file']} line ${row['line']}`,
            row['field'] === '' ? '' : `, ${row['field']}`,
            row['found'] === '' ? '' : `: found "${row['found']}"`,
            row['expected'] === '' ? '' : `, expected ${row['expected']}`,
          ].join(''),
        ),
      ];
    case 'reason':
      return listed(
        `${explained.id}: ${countedTests(explained.tests.length)} in the current release`,
        explained.tests,
        (row) =>
          `${row['store']}/${row['test_id']}  ${row['state']}  ${row['source_file']} line ${row['source_line']}`,
      );
  }
};

const listed = (title: string, rows: readonly Row[], line: (row: Row) => string): string[] => [
  title,
  ...rows.slice(0, shown).map((row) => `  ${line(row)}`),
  ...(rows.length > shown ? [`  and ${rows.length - shown} more`] : []),
];

const testLines = ({
  id,
  test,
  outputs,
  repairs,
  expected,
  sent,
}: Extract<Explained, { kind: 'test' }>): string[] => [
  `${id}  ${[test['item'], test['spec'], test['treatment'], test['grade']].filter((text) => text !== '').join(' ')}, ${test['method']}, cut ${test['cut_date']} by ${test['cutter']}`,
  `source: ${test['source_file']} line ${test['source_line']}`,
  `state: ${test['state']}${test['reasons'] === '' ? '' : ` (${test['reasons']})`}`,
  ...(test['likely_cause'] === '' ? [] : [`likely cause: ${test['likely_cause']}`]),
  ...repairs.map(
    (row) =>
      `  ${row['output'] === '' ? `${row['field']}`.replace('_', ' ') : row['output']}: sent ${weight(row['as_sent'])}, used as ${weight(row['repaired'])} ${row['unit']}`,
  ),
  '',
  ...sentLines(sent),
  '',
  ...balanceLines(test),
  '',
  ...outputLines(test, outputs),
  '',
  ...moneyLines(test),
  ...(expected.length === 0
    ? ['', 'no expected yield: the test is not used']
    : expected.flatMap((row) => ['', ...yieldLines(test, row)])),
];

const sentLines = ({ header, rows, note }: Extract<Explained, { kind: 'test' }>['sent']): string[] =>
  note !== ''
    ? [`as sent: ${note}`]
    : [
        'as sent',
        `  ${header.join(' | ')}`,
        ...rows.map(({ line, cells }) => `  ${line}: ${cells.join(' | ')}`),
      ];

const balanceLines = (test: Row): string[] => {
  const unit = test['unit'];
  const [drained, unaccounted] = [Number(test['drained_weight']), Number(test['unaccounted_weight'])];
  return [
    `billed ${weight(test['billed_weight'])} ${unit}, received ${weight(test['received_weight'])}, purge ${weight(test['purge_weight'], 'not given')}: drained ${weight(test['drained_weight'])} ${unit}`,
    `drained (with what was added) ${weight(test['drained_weight'])} - outputs ${(drained - unaccounted).toFixed(3)} = unaccounted ${weight(test['unaccounted_weight'])} ${unit} (${percent(test['unaccounted_yield'])})`,
  ];
};

const outputLines = (test: Row, outputs: readonly Row[]): string[] => {
  const unit = test['unit'];
  return [
    'outputs (share of drained; weight x price in force)',
    ...outputs.map(
      (row) =>
        `  ${row['output']} (${row['class']}), line ${row['source_line']}: ${weight(row['weight'], 'not weighed')} ${unit}, ${percent(row['yield'])}; x ${money(row['price'], 'no price')} = ${money(row['sales_value'], 'not valued')}`,
    ),
  ];
};

const moneyLines = (test: Row): string[] => {
  const unit = test['unit'];
  const unitCost = Number(test['purchase_cost']) / Number(test['billed_weight']);
  return [
    `purchase cost ${weight(test['billed_weight'])} ${unit} x ${unitCost.toFixed(4)} = ${money(test['purchase_cost'])}`,
    `sales value ${money(test['sales_value'])}${test['unpriced'] === '' ? '' : ` without ${test['unpriced']}, which has no price`}`,
    `gross margin ${money(test['sales_value'])} - ${money(test['purchase_cost'])} = ${money(test['gross_margin'])}: ${money(test['margin_pct'])} % of sales, ${money(test['markup_pct'])} % of cost`,
    test['minutes'] === ''
      ? 'labor not known: no minutes on the sheet'
      : `labor ${money(test['minutes'])} minutes = ${money(test['labor_cost'])}; margin after labor ${money(test['margin_after_labor'])}`,
    `cost per saleable ${unit} ${round(test['cost_per_saleable'], 4)}; residual cost per main ${unit} ${round(test['residual_cost'], 4)}; cost factor ${round(test['cost_factor'], 4)}`,
  ];
};

const about = new Set([
  'store',
  'test_id',
  'outcome',
  'expected',
  'store_effect',
  'cutter_effect',
  'rest',
  'sd',
]);

const yieldLines = (test: Row, row: Row): string[] => {
  const terms = Object.entries(row).filter(([name, size]) => !about.has(name) && size !== '');
  const name = row['outcome'] === 'main_cut' ? 'main cut' : 'saleable';
  const step = (label: string, value: number): string => `  ${label.padEnd(34)}${points(value).padStart(9)}`;
  const total = (label: string, value: string | undefined): string =>
    `  ${label.padEnd(34)}${round(value, 2).padStart(9)}`;
  const rest = Number(row['rest']);
  const measured = test[`${row['outcome']}_yield`];
  return [
    `${name} yield, points of drained weight`,
    ...(terms.length === 0
      ? ['  (too few tests of the item for a fit: the mean of like tests)']
      : terms.map(([term, size]) =>
          term === 'average'
            ? total('average of the item', size)
            : step(term.replaceAll('_', ' '), Number(size)),
        )),
    total('= expected', row['expected']),
    step(`the room (${test['store']})`, Number(row['store_effect'])),
    step(`the cutter (${test['cutter']})`, Number(row['cutter_effect'])),
    step(
      `this test${Number(row['sd']) > 0 ? ` (${(rest / Number(row['sd'])).toFixed(1)} SD of one test)` : ''}`,
      rest,
    ),
    total('= measured', measured === '' ? '' : String(100 * Number(measured))),
  ];
};

const findingLines = ({
  finding,
  effects,
  prices,
  tests,
}: Extract<Explained, { kind: 'finding' }>): string[] => {
  const on = effects.find((row) => row['outcome'] === finding.outcome);
  return [
    finding.headline,
    `finding ${finding.findingId} (${finding.kind}), for the ${finding.reader}, ${finding.status} since ${finding.since}`,
    `step: ${finding.step}`,
    `compared with: ${finding.comparedWith}; adjusted for: ${finding.adjustments.join(', ') || 'nothing'}`,
    ...(on === undefined ? [] : ['', ...effectLines(on)]),
    ...(effects.length === 0 ? [] : ['', ...valueLines(effects, prices)]),
    ...(finding.moneyParts ?? []).map(
      (part) =>
        `  ${part.store} ${part.item}: ${part.kg.toFixed(1)} kg ${part.isWeekly ? 'a week' : 'in the tests seen'} x ${part.lossPerKg.toFixed(4)} lost per kg = ${part.money.toFixed(2)}`,
    ),
    '',
    ...listed(
      behindTitle(tests.length, finding.tests),
      tests,
      (row) =>
        `${row['store']}/${row['test_id']}  cut ${row['cut_date']}, ${figureOf(finding.outcome, row)}  ${row['source_file']} line ${row['source_line']}`,
    ),
  ];
};

const behindTitle = (shown: number, all: number): string =>
  shown === 0
    ? 'it rests on no single test: the tests of the store, the item or the supplier stand in tests.csv'
    : `tests behind it (${shown < all ? `${shown} of ${all}, those that tell most or the last; all stand in tests.csv` : shown})`;

/** What a finding on this outcome looks at in a test, as tests.csv has it; the main cut where it is on no figure of the test. */
const figureOf = (outcome: string, test: Row): string => {
  const { unit } = test;
  switch (outcome) {
    case 'short-weight':
      return `billed ${weight(test['billed_weight'])} ${unit}, received ${weight(test['received_weight'])}`;
    case 'purge-high':
      return `purge ${weight(test['purge_weight'], 'not given')} of ${weight(test['billed_weight'])} ${unit} billed (${percent(test['purge_of_billed'])})`;
    case 'out-of-range-pieces':
      return `${test['pieces_in']} of ${weight(test['received_weight'])} ${unit} in all`;
    default: {
      const name = test[`${outcome}_yield`] === undefined ? 'main_cut' : outcome;
      const expected = test[`expected_${name}_yield`];
      const beside = expected === undefined ? '' : `, expected ${percent(expected)}`;
      return `${name.replace('_', ' ')} ${percent(test[`${name}_yield`])}${beside}`;
    }
  }
};

const effectLines = (on: Row): string[] => [
  `${on['outcome']} over ${countedTests(Number(on['tests']))}, points`,
  `  measured ${round(on['raw_mean'], 2)} - expected ${round(on['expected_mean'], 2)} = ${points(Number(on['raw_mean']) - Number(on['expected_mean']))} (room and mates still in it)`,
  `  difference of its own ${round(on['difference'], 2)}, SD ${round(on['difference_sd'], 2)}; shrunken toward the many (reliability ${round(on['reliability'], 2)}): ${round(on['effect'], 2)}`,
  `  95 % interval ${round(on['low'], 2)} to ${round(on['high'], 2)}; chance beyond the chain's threshold ${round(on['chance_beyond'], 2)}`,
];

/** Class effects x mean price: what the habit is worth by weight. */
const valueLines = (effects: readonly Row[], prices: readonly Row[]): string[] => {
  const value = effects.find((row) => row['outcome'] === 'value');
  const priced = prices.flatMap((price) => {
    const effect = effects.find((row) => row['outcome'] === price['outcome']);
    return effect === undefined || price['price'] === '' || Number(effect['effect']) === 0
      ? []
      : [{ price: Number(price['price']), effect: Number(effect['effect']), outcome: price['outcome'] }];
  });
  return [
    `value, ${value?.['unit'] ?? ''}: sum of class effect / 100 x mean regular price`,
    ...priced.map(
      ({ outcome, effect, price }) =>
        `  ${outcome}: ${points(effect)} / 100 x ${price.toFixed(4)} = ${((effect * price) / 100).toFixed(4)}`,
    ),
    `  = ${round(value?.['effect'], 4)} (${round(value?.['low'], 4)} to ${round(value?.['high'], 4)})`,
  ];
};
