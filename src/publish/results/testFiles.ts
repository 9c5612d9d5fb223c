import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { column, type ResultsFile } from './resultsFile.ts';

export type TestRow = MeasuredTest & { expectedSaleable: number; expectedMainCut: number; unitName: string };

const { text, date, count, number } = column;

/** tests.csv: every test in force with every formula of money/ and what the model expected of it. */
export const testsFile: ResultsFile<TestRow> = {
  name: 'tests',
  description: 'One row a cutting test in force, held ones too. Yields are fractions of drained weight.',
  key: ['store', 'test_id'],
  columns: [
    text('store', 'store that cut the test', (r) => r.store),
    text('test_id', "the store's own number of the test", (r) => r.testId),
    text('cutter', 'who cut it, as sent', (r) => r.cutter),
    date('cut_date', 'day of the cut', (r) => isoFromDay(r.cutDay)),
    text('item', 'purchased piece', (r) => r.item),
    text('spec', 'purchase spec; empty = the plain one', (r) => r.spec),
    text('treatment', 'enhanced, tenderized, thawed; empty = plain', (r) => r.treatment),
    text('grade', 'grade on its scale', (r) => r.grade),
    text('weight_class', "buyer's range of the mean piece weight; empty = outside all", (r) => r.weightClass),
    text('supplier', 'supplier', (r) => r.supplier),
    text('method', 'way of cutting', (r) => r.method),
    count('pieces_in', '', 'pieces cut in the test', (r) => r.piecesIn),
    number(
      'billed_weight',
      'weight',
      'invoice weight; drained + purge where not sent',
      (r) => r.billedFilledKg,
    ),
    number('received_weight', 'weight', 'net weight on arrival', (r) => r.receivedKg),
    number('purge_weight', 'weight', 'liquid lost in the bag', (r) => r.purgeFilledKg),
    number('drained_weight', 'weight', 'what lay on the block', (r) => r.drainedKg),
    number('unaccounted_weight', 'weight', 'drained + added - outputs', (r) => r.unaccountedKg),
    text('unit', 'unit of the weights', (r) => r.unitName),
    number('saleable_yield', 'fraction', 'saleable of drained', (r) => r.saleableYield),
    number('main_cut_yield', 'fraction', 'main cut of drained', (r) => r.mainCutYield),
    number('other_cut_yield', 'fraction', 'other cuts of drained', (r) => r.otherCutYield),
    number('lean_trim_yield', 'fraction', 'lean trim of drained', (r) => r.leanTrimYield),
    number('fat_yield', 'fraction', 'fat of drained', (r) => r.fatYield),
    number('bone_yield', 'fraction', 'bone taken out, of drained', (r) => r.boneYield),
    number('waste_yield', 'fraction', 'waste of drained', (r) => r.wasteYield),
    number('unaccounted_yield', 'fraction', 'unaccounted of drained', (r) => r.unaccountedYield),
    number('saleable_of_billed', 'fraction', 'saleable of billed', (r) => r.saleableOfBilled),
    number('purge_of_billed', 'fraction', 'purge of billed', (r) => r.purgeOfBilled),
    number('unaccounted_of_billed', 'fraction', 'unaccounted of billed', (r) => r.unaccountedOfBilled),
    number(
      'expected_saleable_yield',
      'fraction',
      'saleable expected in an average store by an average cutter; empty when held',
      (r) => r.expectedSaleable,
    ),
    number(
      'expected_main_cut_yield',
      'fraction',
      'main cut expected in an average store by an average cutter; empty when held',
      (r) => r.expectedMainCut,
    ),
    number('purchase_cost', 'money', 'unit cost x billed', (r) => r.purchaseCost),
    number('sales_value', 'money', 'sum of output weight x price in force at the store', (r) => r.salesValue),
    number('gross_margin', 'money', 'sales value - purchase cost', (r) => r.grossMargin),
    number('margin_pct', '%', 'gross margin of sales value', (r) => r.marginFraction * 100),
    number('markup_pct', '%', 'gross margin of purchase cost', (r) => r.markupFraction * 100),
    number(
      'cost_per_saleable',
      'money/weight',
      '(cost - credit of what is sold but not saleable) / saleable',
      (r) => r.costPerSaleableKg,
    ),
    number(
      'residual_cost',
      'money/weight',
      '(cost - credit of all but the main outputs) / main weight',
      (r) => r.residualCostPerKg,
    ),
    number('cost_factor', '', 'residual cost / unit cost', (r) => r.costFactor),
    number('minutes', 'minutes', 'hands-on person-minutes', (r) => r.minutes),
    number('labor_cost', 'money', "minutes / 60 x the chain's rate", (r) => r.laborCost),
    number('margin_after_labor', 'money', 'gross margin - labor cost', (r) => r.marginAfterLabor),
    number('margin_per_hour', 'money/hour', 'margin after labor by hands-on hour', (r) => r.marginPerHour),
    text('unpriced', 'outputs without a price, joined by ;', (r) => r.unpriced),
    text('state', 'used, held or repaired', (r) => r.state),
    text('reasons', 'codes joined by ;', (r) => r.reasons),
    text('source_file', "the sender's file", (r) => r.sourceFile),
    count('source_line', '', 'first line of the test in it', (r) => r.sourceLine),
    text(
      'likely_cause',
      'what is probably wrong and what to weigh again, in words; empty = nothing found',
      (r) => r.cause,
    ),
    number('cause_chance', 'fraction', 'how sure that is', (r) => r.causeChance),
  ],
};

/** test-outputs.csv: every weighed line with its value and both joint costs. */
export const outputsFile: ResultsFile<MeasuredOutput> = {
  name: 'test-outputs',
  description: 'One row an output of a test. Blank weight: not weighed; 0: none.',
  key: ['store', 'test_id', 'output'],
  columns: [
    text('store', 'store that cut the test', (r) => r.store),
    text('test_id', "the store's own number of the test", (r) => r.testId),
    text('output', 'output', (r) => r.output),
    text('class', 'main cut, other cut, lean trim, fat, bone or waste', (r) => r.outputClass),
    number('weight', 'weight', 'weight of the output', (r) => r.outputKg),
    number('yield', 'fraction', 'weight of drained', (r) => r.outputYield),
    number('of_billed', 'fraction', 'weight of billed', (r) => r.ofBilled),
    number('price', 'money/weight', 'price in force at the store on the day', (r) => r.pricePerKg),
    number('sales_value', 'money', 'weight x price', (r) => r.salesValue),
    number(
      'cost_by_sales_value',
      'money',
      "the output's part of the purchase cost by relative sales value",
      (r) => r.costBySalesValue,
    ),
    number(
      'cost_by_weight',
      'money',
      "the output's part of the purchase cost by weight",
      (r) => r.costByWeight,
    ),
    count('source_line', '', "line in the sender's file", (r) => r.sourceLine),
  ],
};
