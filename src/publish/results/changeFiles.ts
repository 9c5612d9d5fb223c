import type { QuarterChangeRow } from '../../findings/merchandise/quarterChange.ts';
import type { TrendRow } from '../../findings/merchandise/valueTrend.ts';
import { column, type ResultsFile } from './resultsFile.ts';

const { text, count, number } = column;

/** A figure per billed weight: money per kg for `value`, turned into the chain's unit; a fraction for `saleable`. */
const figure = <Row extends { followed: string }>(value: (row: Row) => number) => {
  return (row: Row, unitKg: number): number => value(row) * (row.followed === 'value' ? unitKg : 1);
};

/** quarter-change.csv: what changed since the quarter before, by part. */
export const changesFile: ResultsFile<QuarterChangeRow> = {
  name: 'quarter-change',
  description:
    'Change per billed weight between the last 91 days and the 91 before (value: currency by weight; saleable: fraction); the parts add to total.',
  key: ['item', 'followed', 'part'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('followed', 'value or saleable', (r) => r.followed),
    text('part', 'total, or what moved it', (r) => r.part),
    number(
      'before',
      '',
      'mean of the quarter before',
      figure((r: QuarterChangeRow) => r.before),
    ),
    number(
      'after',
      '',
      'mean of the last quarter',
      figure((r: QuarterChangeRow) => r.after),
    ),
    number(
      'change',
      '',
      'change',
      figure((r: QuarterChangeRow) => r.change),
    ),
    number(
      'low',
      '',
      'lower end of its 95 % interval',
      figure((r: QuarterChangeRow) => r.low),
    ),
    number(
      'high',
      '',
      'upper end of its 95 % interval',
      figure((r: QuarterChangeRow) => r.high),
    ),
    number('money_per_week', 'money', 'change in value by the weekly volume', (r) => r.moneyPerWeek),
    count('tests_before', 'tests', 'tests of the quarter before', (r) => r.testsBefore),
    count('tests_after', 'tests', 'tests of the last quarter', (r) => r.testsAfter),
    text('missing', 'what is missing for an answer; empty = answered', (r) => r.missing),
  ],
};

/** value-trend.csv: months with the mix held. */
export const trendFile: ResultsFile<TrendRow> = {
  name: 'value-trend',
  description:
    'Value and saleable per billed weight by month, as cut and with grade, weight, spec, supplier and method held (value: currency by weight; saleable: fraction).',
  key: ['item', 'followed', 'month'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('followed', 'value or saleable', (r) => r.followed),
    text('month', 'month of the cut', (r) => r.month),
    count('tests', 'tests', 'tests of the month', (r) => r.tests),
    number(
      'as_cut',
      '',
      'mean as cut',
      figure((r: TrendRow) => r.asCut),
    ),
    number(
      'mix_held',
      '',
      'mean with the mix held',
      figure((r: TrendRow) => r.mixHeld),
    ),
    number(
      'low',
      '',
      'lower end of its 95 % interval',
      figure((r: TrendRow) => r.low),
    ),
    number(
      'high',
      '',
      'upper end of its 95 % interval',
      figure((r: TrendRow) => r.high),
    ),
  ],
};
