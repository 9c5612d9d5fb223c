import type { MethodByWeightRow } from '../../findings/merchandise/methodByWeight.ts';
import type { MethodUnanswered } from '../../findings/merchandise/methodGroup.ts';
import type { MethodOutputRow } from '../../findings/merchandise/methodOutputs.ts';
import type { StandardUnsettled } from '../../findings/merchandise/standardRows.ts';
import type { UnpricedRow } from '../../findings/merchandise/unpricedRows.ts';
import { column, type ResultsFile } from './resultsFile.ts';

const { text, count, number } = column;

/** method-outputs.csv: what each output of a way of cutting costs and would sell at. */
export const methodOutputsFile: ResultsFile<MethodOutputRow> = {
  name: 'method-outputs',
  description:
    'Purchase cost of every output by the ways of sharing it (by sales value, by weight, and the butcher`s test for main outputs). Margin is on sales, markup on cost.',
  key: ['item', 'spec', 'method', 'output'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('spec', 'purchase spec', (r) => r.spec),
    text('method', 'way of cutting', (r) => r.method),
    text('output', 'output', (r) => r.output),
    text('class', 'class of the output in this way', (r) => r.outputClass),
    count('tests', 'tests', 'tests with it', (r) => r.tests),
    number('of_billed', 'fraction', 'share of billed weight', (r) => r.ofBilled),
    number('price', 'money/weight', 'mean price in force', (r) => r.pricePerKg),
    number(
      'cost_by_sales_value',
      'money/weight',
      'cost shared by relative sales value',
      (r) => r.costBySalesValuePerKg,
    ),
    number('cost_by_weight', 'money/weight', 'cost shared by weight', (r) => r.costByWeightPerKg),
    number(
      'residual_cost',
      'money/weight',
      'cost less credit of all else, by main weight; main outputs only',
      (r) => r.residualCostPerKg,
    ),
    number('margin_of_sales', 'fraction', 'margin on sales at cost by sales value', (r) => r.margin),
    number('markup_on_cost', 'fraction', 'the same money as markup on cost', (r) => r.markup),
    number(
      'price_at_target_margin',
      'money/weight',
      'price at the target margin on cost by sales value',
      (r) => r.priceAtTargetMargin,
    ),
    text('missing', 'what is missing for costs and margins; empty = nothing', (r) => r.missing),
  ],
};

/** method-by-weight.csv: how the gap between ways shifts with piece weight. */
export const methodByWeightFile: ResultsFile<MethodByWeightRow> = {
  name: 'method-by-weight',
  description: 'Gap between two ways of cutting in each weight range, by billed weight after labor.',
  key: ['item', 'spec', 'method', 'other_method', 'weight_class'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('spec', 'purchase spec', (r) => r.spec),
    text('method', 'way of cutting', (r) => r.method),
    text('other_method', 'the way it is held against', (r) => r.otherMethod),
    text('weight_class', 'range', (r) => r.weightClass),
    count('tests', 'tests', 'tests of both ways in the range', (r) => r.tests),
    number('gap_per_billed', 'money/weight', 'margin against the other way', (r) => r.gapPerBilledKg),
    number('low', 'money/weight', 'lower end of its 95 % interval', (r) => r.low),
    number('high', 'money/weight', 'upper end of its 95 % interval', (r) => r.high),
    text('missing', 'what is missing for an answer; empty = answered', (r) => r.missing),
  ],
};

/** method-unanswered.csv: ways of cutting that cannot be compared. */
export const methodUnansweredFile: ResultsFile<MethodUnanswered> = {
  name: 'method-unanswered',
  description: 'Ways of cutting that cannot be compared, and what is missing.',
  key: ['item', 'spec', 'method'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('spec', 'purchase spec', (r) => r.spec),
    text('method', 'way of cutting', (r) => r.method),
    count('tests', 'tests', 'tests that could be compared', (r) => r.tests),
    text('missing', 'what is missing', (r) => r.missing),
  ],
};

/** standards-unsettled.csv: book yields that the tests do not settle. */
export const standardsUnsettledFile: ResultsFile<StandardUnsettled> = {
  name: 'standards-unsettled',
  description: 'Book yields in force with too few tests to say whether they hold.',
  key: ['item', 'method', 'output'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('method', 'way of cutting', (r) => r.method),
    text('output', 'output', (r) => r.output),
    number('book', 'fraction', 'yield in the book, of drained', (r) => r.book),
    count('tests', 'tests', 'tests behind it', (r) => r.tests),
    text('missing', 'what is missing', (r) => r.missing),
  ],
};

/** unpriced-outputs.csv: what was weighed without a price, which money takes as 0. */
export const unpricedFile: ResultsFile<UnpricedRow> = {
  name: 'unpriced-outputs',
  description:
    'Outputs weighed without a price in force on their day or at the regular list, heaviest first; money takes them as 0. Waste is left out.',
  key: ['output'],
  columns: [
    text('output', 'output', (r) => r.output),
    text('class', 'class of the output', (r) => r.outputClass),
    count('tests', 'tests', 'tests that weighed it', (r) => r.tests),
    count('tests_without', 'tests', 'of these, without a price', (r) => r.testsWithout),
    number('weight', 'weight', 'weight without a price', (r) => r.kg),
    number('share_of_cut', 'fraction', 'of all weight cut', (r) => r.shareOfCut),
  ],
};
