import type { MethodRow, OwedRow, StandardChangeRow } from '../../findings/found.ts';
import { column, type ResultsFile } from './resultsFile.ts';

const { text, date, count, number, truth } = column;

/** standards-to-change.csv: book yields that the tests contradict. */
export const standardsFile: ResultsFile<StandardChangeRow> = {
  name: 'standards-to-change',
  description: 'Book yields in force that lie outside the interval of what is measured.',
  key: ['item', 'method', 'output'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('method', 'way of cutting', (r) => r.method),
    text('output', 'output', (r) => r.output),
    number('book', 'fraction', 'yield in the book, of drained', (r) => r.book),
    number('measured', 'fraction', 'mean yield measured', (r) => r.measured),
    number('low', 'fraction', 'lower end of its 95 % interval', (r) => r.low),
    number('high', 'fraction', 'upper end of its 95 % interval', (r) => r.high),
    count('tests', 'tests', 'tests behind it', (r) => r.tests),
    number(
      'price_at_target_margin',
      'money/weight',
      "price of the output at the chain's target margin",
      (r) => r.priceAtTargetMargin,
    ),
    number('price_at_book', 'money/weight', 'the same price by the book yield', (r) => r.priceAtBook),
  ],
};

/** method-comparison.csv: ways of cutting one item against each other after labor. */
export const methodsFile: ResultsFile<MethodRow> = {
  name: 'method-comparison',
  description:
    'Ways of cutting one item against each other, per billed weight after labor, with break-even prices.',
  key: ['item', 'spec', 'method', 'other_method', 'output'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('method', 'way of cutting', (r) => r.method),
    text('other_method', 'the way it is held against', (r) => r.otherMethod),
    count('tests', 'tests', 'tests of the method', (r) => r.tests),
    number(
      'margin_per_billed',
      'money/weight',
      'margin after labor by billed weight',
      (r) => r.marginPerBilledKg,
    ),
    number(
      'low',
      'money/weight',
      'lower end of its 95 % interval',
      (r) => r.marginPerBilledKg - r.marginReach,
    ),
    number(
      'high',
      'money/weight',
      'upper end of its 95 % interval',
      (r) => r.marginPerBilledKg + r.marginReach,
    ),
    number('minutes', 'minutes', 'mean hands-on minutes a test', (r) => r.minutes),
    text('output', 'output whose price is asked for', (r) => r.output),
    number(
      'break_even_price',
      'money/weight',
      'its price at which both ways pay alike',
      (r) => r.breakEvenPerKg,
    ),
    number(
      'break_even_with_labor',
      'money/weight',
      'the same with labor paid',
      (r) => r.breakEvenWithLaborPerKg,
    ),
    number('gap_per_billed', 'money/weight', 'margin against the other way', (r) => r.gapPerBilledKg),
    number('gap_low', 'money/weight', 'lower end of its 95 % interval', (r) => r.low),
    number('gap_high', 'money/weight', 'upper end of its 95 % interval', (r) => r.high),
    text('spec', 'purchase spec', (r) => r.spec),
    number('saleable_yield', 'fraction', 'saleable of drained, adjusted', (r) => r.saleableYield),
    number('main_cut_yield', 'fraction', 'main cut of drained, adjusted', (r) => r.mainCutYield),
    number(
      'value_per_billed',
      'money/weight',
      'sales value by billed weight at the regular list, adjusted',
      (r) => r.valuePerBilledKg,
    ),
    number('margin_per_hour', 'money/hour', 'margin after labor per hands-on hour', (r) => r.marginPerHour),
    number('hour_low', 'money/hour', 'lower end of its 95 % interval', (r) => r.hourLow),
    number('hour_high', 'money/hour', 'upper end of its 95 % interval', (r) => r.hourHigh),
    number(
      'demand_share',
      'fraction',
      'share of the item that can be cut this way before its main outputs no longer sell; empty = unknown',
      (r) => r.demandShare,
    ),
    truth('labor_known', 'whether margins are after labor', (r) => r.isLaborKnown),
    text('adjusted_for', 'what was held equal', (r) => r.adjustedFor),
    text('warning', 'who chose the way of cutting', (r) => r.warning),
  ],
};

/** tests-owed.csv: which tests would settle most. */
export const owedFile: ResultsFile<OwedRow> = {
  name: 'tests-owed',
  description:
    'Tests a store is behind its plan, and tests that would tell whether a cutter loses main cut, the most money at stake first.',
  key: ['store', 'item', 'who'],
  columns: [
    text('store', 'store', (r) => r.store),
    text('item', 'item; empty = any', (r) => r.item),
    text('who', 'cutter; empty = anyone', (r) => r.cutter),
    count('how_many', 'tests', 'tests owed', (r) => r.tests),
    date('by_when', 'day by which', (r) => r.by),
    text('why', 'why', (r) => r.why),
  ],
};
