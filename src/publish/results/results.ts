import type { Chain } from '../../catalog/chain.ts';
import type { FoundNight } from '../../findings/found.ts';
import type { IntakeRow } from '../../ingest/ingested.ts';
import type { MeasuredNight, MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import type { ModeledNight } from '../../model/modeled.ts';
import { rowsOf } from '../../tables/rows.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { kgPerLb } from '../../units/weight.ts';
import { type Column, csvText } from './csvText.ts';

export type ResultsInput = {
  chain: Chain;
  measured: MeasuredNight;
  modeled: ModeledNight;
  found: FoundNight;
  intake: readonly IntakeRow[];
};

/** The results of a night as files: results/<name>.csv in the contract's columns, findings.json and datapackage.json. */
export const results = (input: ResultsInput): Map<string, string> => {
  const kg = input.chain.unit === 'lb' ? kgPerLb : 1;
  const files = new Map<string, string>();
  files.set('tests.csv', csvText(testRows(input), testColumns(kg, input.chain.unit)));
  files.set('test-outputs.csv', csvText(rowsOf<MeasuredOutput>(input.measured.outputs), outputColumns(kg)));
  files.set(
    'effects.csv',
    csvText(input.modeled.effects, effectColumns(kg, `${input.chain.currency}/${input.chain.unit}`)),
  );
  files.set('findings.csv', csvText(input.found.findings, findingColumns));
  files.set('losses.csv', csvText(input.found.losses, lossColumns));
  files.set(
    'weight-curve.csv',
    csvText(input.modeled.curves, [
      ['item', (r) => r.item],
      ['spec', (r) => r.spec],
      ['grade', (r) => r.grade],
      ['weight', (r) => r.weightKg / kg],
      ['saleable', (r) => r.saleable],
      ['low', (r) => r.low],
      ['high', (r) => r.high],
      ['main_cut', (r) => r.mainCut],
      ['value', (r) => r.valuePerKg * kg],
    ]),
  );
  files.set(
    'standards-to-change.csv',
    csvText(input.found.standards, [
      ['item', (r) => r.item],
      ['method', (r) => r.method],
      ['output', (r) => r.output],
      ['book', (r) => r.book],
      ['measured', (r) => r.measured],
      ['low', (r) => r.low],
      ['high', (r) => r.high],
      ['tests', (r) => r.tests],
      ['price_at_target_margin', (r) => r.priceAtTargetMargin * kg],
    ]),
  );
  files.set(
    'tests-owed.csv',
    csvText(input.found.owed, [
      ['store', (r) => r.store],
      ['item', (r) => r.item],
      ['who', (r) => r.cutter],
      ['how_many', (r) => r.tests],
      ['by_when', (r) => r.by],
      ['why', (r) => r.why],
    ]),
  );
  files.set(
    'store-status.csv',
    csvText(input.found.stores, [
      ['store', (r) => r.store],
      ['name', (r) => r.name],
      ['region', (r) => r.region],
      ['last_test', (r) => r.lastTest],
      ['tests', (r) => r.tests],
      ['held', (r) => r.held],
      ['cutters', (r) => r.cutters],
      ['silent', (r) => String(r.silent)],
    ]),
  );
  files.set(
    'intake.csv',
    csvText(input.intake, [
      ['file', (r) => r.file],
      ['sender', (r) => r.sender],
      ['state', (r) => r.state],
      ['rows_read', (r) => r.rowsRead],
      ['accepted', (r) => r.accepted],
      ['rejected', (r) => r.rejected],
      ['blank', (r) => r.blank],
      ['ignored', (r) => r.ignored],
      ['duplicate', (r) => r.duplicate],
      ['superseded', (r) => r.superseded],
      ['sha256', (r) => r.sha256],
    ]),
  );
  files.set(
    'method-comparison.csv',
    csvText(input.found.methods, [
      ['item', (r) => r.item],
      ['method', (r) => r.method],
      ['other_method', (r) => r.otherMethod],
      ['tests', (r) => r.tests],
      ['margin_per_billed', (r) => r.marginPerBilledKg * kg],
      ['low', (r) => (r.marginPerBilledKg - r.marginReach) * kg],
      ['high', (r) => (r.marginPerBilledKg + r.marginReach) * kg],
      ['minutes', (r) => r.minutes],
      ['output', (r) => r.output],
      ['break_even_price', (r) => r.breakEvenPerKg * kg],
      ['break_even_with_labor', (r) => r.breakEvenWithLaborPerKg * kg],
      ['gap_per_billed', (r) => r.gapPerBilledKg * kg],
      ['gap_low', (r) => r.low * kg],
      ['gap_high', (r) => r.high * kg],
    ]),
  );
  files.set('findings.json', `${JSON.stringify(input.found.findings, null, 1)}\n`);
  files.set('datapackage.json', dataPackage(files));
  return files;
};

type TestRow = MeasuredTest & { expectedSaleable: number; expectedMainCut: number };

const testRows = ({ measured, modeled }: ResultsInput): TestRow[] => {
  const expected = new Map(
    rowsOf<{ store: string; testId: string; expected_saleable: number; expected_main_cut: number }>(
      modeled.expected,
    ).map((row) => [`${row.store}\u0000${row.testId}`, row]),
  );
  return rowsOf<MeasuredTest>(measured.tests).map((test) => {
    const row = expected.get(`${test.store}\u0000${test.testId}`);
    return {
      ...test,
      expectedSaleable: row?.expected_saleable ?? Number.NaN,
      expectedMainCut: row?.expected_main_cut ?? Number.NaN,
    };
  });
};

const testColumns = (kg: number, unit: string): Column<TestRow>[] => [
  ['store', (r) => r.store],
  ['test_id', (r) => r.testId],
  ['cutter', (r) => r.cutter],
  ['cut_date', (r) => isoFromDay(r.cutDay)],
  ['item', (r) => r.item],
  ['spec', (r) => r.spec],
  ['treatment', (r) => r.treatment],
  ['grade', (r) => r.grade],
  ['weight_class', (r) => r.weightClass],
  ['supplier', (r) => r.supplier],
  ['method', (r) => r.method],
  ['pieces_in', (r) => r.piecesIn],
  ['billed_weight', (r) => r.billedFilledKg / kg],
  ['received_weight', (r) => r.receivedKg / kg],
  ['purge_weight', (r) => r.purgeFilledKg / kg],
  ['drained_weight', (r) => r.drainedKg / kg],
  ['unaccounted_weight', (r) => r.unaccountedKg / kg],
  ['unit', () => unit],
  ['saleable_yield', (r) => r.saleableYield],
  ['main_cut_yield', (r) => r.mainCutYield],
  ['other_cut_yield', (r) => r.otherCutYield],
  ['lean_trim_yield', (r) => r.leanTrimYield],
  ['fat_yield', (r) => r.fatYield],
  ['bone_yield', (r) => r.boneYield],
  ['waste_yield', (r) => r.wasteYield],
  ['unaccounted_yield', (r) => r.unaccountedYield],
  ['saleable_of_billed', (r) => r.saleableOfBilled],
  ['purge_of_billed', (r) => r.purgeOfBilled],
  ['unaccounted_of_billed', (r) => r.unaccountedOfBilled],
  ['expected_saleable_yield', (r) => r.expectedSaleable],
  ['expected_main_cut_yield', (r) => r.expectedMainCut],
  ['purchase_cost', (r) => r.purchaseCost],
  ['sales_value', (r) => r.salesValue],
  ['gross_margin', (r) => r.grossMargin],
  ['margin_pct', (r) => r.marginFraction * 100],
  ['markup_pct', (r) => r.markupFraction * 100],
  ['cost_per_saleable', (r) => r.costPerSaleableKg * kg],
  ['residual_cost', (r) => r.residualCostPerKg * kg],
  ['cost_factor', (r) => r.costFactor],
  ['minutes', (r) => r.minutes],
  ['labor_cost', (r) => r.laborCost],
  ['margin_after_labor', (r) => r.marginAfterLabor],
  ['margin_per_hour', (r) => r.marginPerHour],
  ['unpriced', (r) => r.unpriced],
  ['state', (r) => r.state],
  ['reasons', (r) => r.reasons],
  ['source_file', (r) => r.sourceFile],
  ['source_line', (r) => r.sourceLine],
];

const outputColumns = (kg: number): Column<MeasuredOutput>[] => [
  ['store', (r) => r.store],
  ['test_id', (r) => r.testId],
  ['output', (r) => r.output],
  ['class', (r) => r.outputClass],
  ['weight', (r) => r.outputKg / kg],
  ['yield', (r) => r.outputYield],
  ['of_billed', (r) => r.ofBilled],
  ['price', (r) => r.pricePerKg * kg],
  ['sales_value', (r) => r.salesValue],
  ['cost_by_sales_value', (r) => r.costBySalesValue],
  ['cost_by_weight', (r) => r.costByWeight],
];

const effectColumns = (kg: number, moneyUnit: string): Column<ModeledNight['effects'][number]>[] => {
  const scale = (r: ModeledNight['effects'][number]): number => (r.outcome === 'value' ? kg : 1);
  return [
    ['kind', (r) => r.kind],
    ['id', (r) => r.id],
    ['store', (r) => r.store],
    ['item', (r) => r.item],
    ['outcome', (r) => r.outcome],
    ['unit', (r) => (r.outcome === 'value' ? moneyUnit : 'points')],
    ['tests', (r) => r.tests],
    ['tests_needed', (r) => r.testsNeeded],
    ['raw_mean', (r) => r.rawMean * scale(r)],
    ['expected_mean', (r) => r.expectedMean * scale(r)],
    ['effect', (r) => r.effect * scale(r)],
    ['sd', (r) => r.sd * scale(r)],
    ['low', (r) => r.low * scale(r)],
    ['high', (r) => r.high * scale(r)],
    ['reliability', (r) => r.reliability],
    ['chance_beyond', (r) => r.chanceBeyond],
    ['expected_rank', (r) => r.expectedRank],
    ['rank_low', (r) => r.rankLow],
    ['rank_high', (r) => r.rankHigh],
    ['status', (r) => r.status],
  ];
};

const findingColumns: Column<FoundNight['findings'][number]>[] = [
  ['finding_id', (r) => r.findingId],
  ['kind', (r) => r.kind],
  ['reader', (r) => r.reader],
  ['region', (r) => r.region],
  ['store', (r) => r.store],
  ['cutter', (r) => r.cutter],
  ['item', (r) => r.item],
  ['outcome', (r) => r.outcome],
  ['status', (r) => r.status],
  ['since', (r) => r.since],
  ['effect', (r) => r.effect],
  ['low', (r) => r.low],
  ['high', (r) => r.high],
  ['chance', (r) => r.chance],
  ['money_per_week', (r) => r.moneyPerWeek],
  ['money_low', (r) => r.moneyLow],
  ['money_high', (r) => r.moneyHigh],
  ['tests', (r) => r.tests],
  ['compared_with', (r) => r.comparedWith],
  ['headline', (r) => r.headline],
];

const lossColumns: Column<FoundNight['losses'][number]>[] = [
  ['region', (r) => r.region],
  ['store', (r) => r.store],
  ['item', (r) => r.item],
  ['habit', (r) => r.habit],
  ['money_per_week', (r) => r.moneyPerWeek],
  ['low', (r) => r.low],
  ['high', (r) => r.high],
  ['tests', (r) => r.tests],
  ['cutters', (r) => r.cutters],
  ['suppressed', (r) => String(r.suppressed)],
];

/** Frictionless Data Package descriptor of the CSVs, types read off their columns' declared values. */
const dataPackage = (files: ReadonlyMap<string, string>): string => {
  const resources = [...files]
    .filter(([name]) => name.endsWith('.csv'))
    .map(([name, text]) => ({
      name: name.replace('.csv', ''),
      path: name,
      format: 'csv',
      encoding: 'utf-8',
      schema: {
        fields: (text.split('\r\n')[0] as string).split(',').map((field) => ({ name: field, type: 'any' })),
      },
    }));
  return `${JSON.stringify({ $schema: 'https://datapackage.org/profiles/1.0/datapackage.json', name: 'deckle-results', resources }, null, 1)}\n`;
};
