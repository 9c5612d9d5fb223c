import type {
  Expected,
  IndifferenceRow,
  RangeRow,
  RankedQuote,
  YieldByWeightRow,
} from '../../findings/buying/buyingRows.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { type ColumnUnit, column, type ResultsColumn, type ResultsFile } from './resultsFile.ts';

const { text, date, count, number, truth } = column;

/** A figure and the ends of its 95 % interval as three columns. */
const expected = (
  name: string,
  unit: ColumnUnit,
  description: string,
  value: (row: YieldByWeightRow) => Expected,
): ResultsColumn<YieldByWeightRow>[] => [
  number(name, unit, description, (row) => value(row).value),
  number(`${name}_low`, unit, 'lower end of its 95 % interval', (row) => value(row).low),
  number(`${name}_high`, unit, 'upper end of its 95 % interval', (row) => value(row).high),
];

/** quote-ranking.csv: the day's quotes by what they are expected to leave. */
export const quotesFile: ResultsFile<RankedQuote> = {
  name: 'quote-ranking',
  description:
    'Quotes in force, best margin per billed weight first within each item; values at the regular list. Empty numbers: see missing.',
  key: [],
  columns: [
    text('supplier', 'supplier', (r) => r.supplier),
    text('item', 'item', (r) => r.item),
    text('spec', 'purchase spec', (r) => r.spec),
    text('grade', 'grade', (r) => r.grade),
    text('weight_class', 'range quoted', (r) => r.weightClass),
    number('price', 'money/weight', 'price as quoted', (r) => r.pricePerKg),
    number(
      'landed_price',
      'money/weight',
      'delivered price by weight left after purge and short weight',
      (r) => r.landedPerKg,
    ),
    number(
      'cost_per_saleable',
      'money/weight',
      'delivered price less credit, by saleable weight',
      (r) => r.costPerSaleableKg,
    ),
    number(
      'margin_per_billed',
      'money/weight',
      'expected sales value less delivered price, by billed weight, before labor',
      (r) => r.marginPerBilledKg,
    ),
    number('low', 'money/weight', 'lower end of its 95 % interval', (r) => r.marginLow),
    number('high', 'money/weight', 'upper end of its 95 % interval', (r) => r.marginHigh),
    number(
      'chance_best',
      'fraction',
      'chance that it leaves the most of the quotes of its item',
      (r) => r.chanceBest,
    ),
    text('plant', 'plant', (r) => r.plant),
    text('state', 'fresh or frozen', (r) => r.state),
    text('basis', 'delivered or FOB', (r) => r.basis),
    number('delivered_price', 'money/weight', 'price with freight', (r) => r.deliveredPerKg),
    number('cost_low', 'money/weight', 'lower end of the cost per saleable', (r) => r.costLow),
    number('cost_high', 'money/weight', 'upper end of the cost per saleable', (r) => r.costHigh),
    number('labor_per_billed', 'money/weight', 'labor of the method most used', (r) => r.laborPerBilledKg),
    number(
      'margin_after_labor',
      'money/weight',
      'margin per billed weight after labor',
      (r) => r.marginAfterLaborPerBilledKg,
    ),
    number('purge_of_billed', 'fraction', 'purge expected', (r) => r.purgeShare),
    number('short_of_billed', 'fraction', 'short weight expected', (r) => r.shortShare),
    count('tests', 'tests', 'tests of this grade in this range', (r) => r.tests),
    text('assumed', 'what was assumed for want of tests', (r) => r.assumed),
    text('missing', 'what is missing for an answer; empty = answered', (r) => r.missing),
    date('valid_to', 'last day of the quote', (r) => isoFromDay(r.validTo)),
    text('method', 'way of cutting it is valued by: the one most used', (r) => r.offer.method),
    text('remedy', 'what to enter so that it can be valued; empty = only tests help', (r) => r.remedy),
  ],
};

/** indifference.csv: what each other range is worth at every open quote. */
export const indifferenceFile: ResultsFile<IndifferenceRow> = {
  name: 'indifference',
  description:
    'What a range is worth when another is quoted: delivered prices by billed weight. low and high belong to same_margin.',
  key: [],
  columns: [
    text('item', 'item', (r) => r.item),
    text('from', 'range quoted', (r) => r.from.weightClass),
    text('to', 'range asked about', (r) => r.to.weightClass),
    number('price_from', 'money/weight', 'delivered price of the range quoted', (r) => r.priceFromPerKg),
    number(
      'same_margin',
      'money/weight',
      'price of the other at the same margin %',
      (r) => r.sameMargin.price,
    ),
    number(
      'same_dollars',
      'money/weight',
      'price of the other at the same money by weight bought',
      (r) => r.sameDollars.price,
    ),
    number('low', 'money/weight', 'lower end of the 95 % interval of same_margin', (r) => r.sameMargin.low),
    number('high', 'money/weight', 'upper end of the 95 % interval of same_margin', (r) => r.sameMargin.high),
    text('from_supplier', 'supplier of the quote', (r) => r.from.supplier),
    text('from_spec', 'spec of the quote', (r) => r.from.spec),
    text('from_grade', 'grade of the quote', (r) => r.from.grade),
    text('to_supplier', 'supplier of the other', (r) => r.to.supplier),
    text('to_spec', 'spec of the other', (r) => r.to.spec),
    text('to_grade', 'grade of the other', (r) => r.to.grade),
    number('dollars_low', 'money/weight', 'lower end of same_dollars', (r) => r.sameDollars.low),
    number('dollars_high', 'money/weight', 'upper end of same_dollars', (r) => r.sameDollars.high),
    truth('labor_known', 'whether same_dollars is after labor', (r) => r.isLaborKnown),
    number('price_to', 'money/weight', 'delivered price of the other where quoted', (r) => r.priceToPerKg),
    number(
      'turning_labor_rate',
      'money/hour',
      'labor rate at which both quotes leave the same',
      (r) => r.turningLaborRate,
    ),
    number(
      'turning_main_cut_price',
      'money/weight',
      'change of the main cut price at which both quotes leave the same',
      (r) => r.turningMainCutPrice,
    ),
    text('sentence', 'the answer in words', (r) => r.sentence),
    text('missing', 'what is missing for an answer; empty = answered', (r) => r.missing),
  ],
};

/** range-summary.csv: every weight range of what was tested. */
export const rangesFile: ResultsFile<RangeRow> = {
  name: 'range-summary',
  description: 'Weight ranges of every item and grade tested, at the best open quote for each.',
  key: ['item', 'spec', 'grade', 'weight_class'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('spec', 'purchase spec', (r) => r.spec),
    text('grade', 'grade', (r) => r.grade),
    text('weight_class', 'range', (r) => r.weightClass),
    count('tests', 'tests', 'tests of this grade in this range', (r) => r.tests),
    number('piece_weight', 'weight', 'mean piece weight of what is sold in the range', (r) => r.pieceKg),
    number('saleable_of_billed', 'fraction', 'expected saleable share of billed weight', (r) => r.saleable),
    number('low', 'fraction', 'lower end of its 95 % interval', (r) => r.low),
    number('high', 'fraction', 'upper end of its 95 % interval', (r) => r.high),
    number(
      'value_per_billed',
      'money/weight',
      'expected sales value by billed weight',
      (r) => r.valuePerBilledKg,
    ),
    text('supplier', 'supplier of the best open quote', (r) => r.supplier),
    number('delivered_price', 'money/weight', 'its delivered price', (r) => r.deliveredPerKg),
    number('cost_per_saleable', 'money/weight', 'cost per saleable weight at it', (r) => r.costPerSaleableKg),
    number(
      'margin_after_labor',
      'money/weight',
      'margin per billed weight after labor at it',
      (r) => r.marginAfterLaborPerBilledKg,
    ),
    text('missing', 'what is missing for an answer; empty = answered', (r) => r.missing),
    number('main_cut_of_billed', 'fraction', 'expected main cut share of billed weight', (r) => r.mainCut),
    number('main_cut_low', 'fraction', 'lower end of its 95 % interval', (r) => r.mainCutLow),
    number('main_cut_high', 'fraction', 'upper end of its 95 % interval', (r) => r.mainCutHigh),
    number('cost_low', 'money/weight', 'lower end of the cost per saleable', (r) => r.costLow),
    number('cost_high', 'money/weight', 'upper end of the cost per saleable', (r) => r.costHigh),
    number('margin_low', 'money/weight', 'lower end of the margin after labor', (r) => r.marginLow),
    number('margin_high', 'money/weight', 'upper end of the margin after labor', (r) => r.marginHigh),
  ],
};

/** yield-by-weight.csv: what pieces of one weight give, by grade and supplier. */
export const yieldByWeightFile: ResultsFile<YieldByWeightRow> = {
  name: 'yield-by-weight',
  description:
    'Expected shares of billed weight, sales value and cost per saleable weight over mean piece weight, on the 2-98 % weights seen, by grade and supplier (empty = average supplier), for the method most used. Intervals 95 %; cost at the best open quote of the supplier (of any where it is empty) for the range.',
  key: ['item', 'spec', 'grade', 'supplier', 'weight'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('spec', 'purchase spec', (r) => r.spec),
    text('grade', 'grade', (r) => r.grade),
    text('supplier', 'supplier; empty = the average one', (r) => r.supplier),
    number('weight', 'weight', 'mean piece weight', (r) => r.weightKg),
    text('weight_class', 'range that holds it; empty = none', (r) => r.weightClass),
    count('tests', 'tests', 'tests of the grade and supplier', (r) => r.tests),
    ...expected('saleable_of_billed', 'fraction', 'saleable share of billed weight', (r) => r.saleable),
    ...expected('main_cut_of_billed', 'fraction', 'main cut share of billed weight', (r) => r.mainCut),
    ...expected(
      'value_per_billed',
      'money/weight',
      'sales value by billed weight',
      (r) => r.valuePerBilledKg,
    ),
    number('delivered_price', 'money/weight', 'delivered price of the quote', (r) => r.deliveredPerKg),
    ...expected(
      'cost_per_saleable',
      'money/weight',
      'cost per saleable weight at it',
      (r) => r.costPerSaleableKg,
    ),
    text('missing', 'what is missing for value and cost; empty = nothing', (r) => r.missing),
  ],
};
