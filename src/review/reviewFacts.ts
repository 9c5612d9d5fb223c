import type { Chain } from '../catalog/chain.ts';
import type { MeasuredNight } from '../measure/measured.ts';
import type { StoreRow } from '../normalize/normalized.ts';
import type { ScreenedNight } from '../screen/screened.ts';
import { codesOf, numbersOf, textsOf } from '../tables/columns.ts';
import { groupedRows, matchedRows } from '../tables/groupedRows.ts';
import { kilogramsPer } from '../units/weight.ts';
import { writtenSteps } from './writtenSteps.ts';

/** The night by column: one entry a test in the order of the tests table; lines grouped by test. Weights kg, missing NaN. */
export type ReviewFacts = {
  n: number;
  store: string[];
  testId: string[];
  cutter: string[];
  item: string[];
  grade: string[];
  unit: string[];
  weighed: string[];
  /** Item, spec, treatment and method: tests that should come out alike. */
  kind: { codes: Int32Array; levels: string[] };
  piece: { codes: Int32Array; levels: string[] };
  state: string[];
  reasons: string[];
  receivedKg: Float64Array;
  purgeKg: Float64Array;
  billedKg: Float64Array;
  addedKg: Float64Array;
  unitCostPerKg: Float64Array;
  pieces: Float64Array;
  day: Float64Array;
  /** The division of the store's scale, and the step that a sheet is written in: that, or coarser by hand. */
  divisionKg: Float64Array;
  stepKg: Float64Array;
  /** Lines of test i are lineStart[i] .. lineStart[i + 1] - 1. */
  lineStart: Int32Array;
  /** Row of the outputs table behind each line. */
  lineRow: Int32Array;
  lineKg: Float64Array;
  lineOutput: Int32Array;
  /** Place among lineClasses, -1 = none of them. */
  lineClass: Int32Array;
  outputNames: string[];
};

const lineClasses = ['main cut', 'other cut', 'lean trim', 'fat', 'bone', 'waste'] as const;

/** Columns read once from the tables; lines are those of the screened table, their classes as measured. */
export const reviewFacts = (
  screened: ScreenedNight,
  measured: MeasuredNight,
  { chain, stores }: { chain: Chain; stores: readonly StoreRow[] },
): ReviewFacts => {
  const { tests } = screened;
  const text = (name: string): string[] => textsOf(tests, name);
  const number = (name: string): Float64Array => numbersOf(tests, name);
  const [item, spec, treatment, method] = ['item', 'spec', 'treatment', 'method'].map(text) as [
    string[],
    string[],
    string[],
    string[],
  ];
  const store = text('store');
  const testId = text('testId');
  const divisionKg = divisions(store, chain, stores);
  const lines = groupedLines(screened, measured, { store, testId });
  const piece = codesOf(item.map((name, i) => [name, spec[i], treatment[i]].join('\u0000')));
  const kind = codesOf(item.map((name, i) => [name, spec[i], treatment[i], method[i]].join('\u0000')));
  return {
    n: store.length,
    store,
    testId,
    cutter: text('cutter'),
    item,
    grade: text('grade'),
    unit: text('unit'),
    weighed: text('weighed'),
    kind,
    piece,
    state: text('state'),
    reasons: text('reasons'),
    receivedKg: number('receivedKg'),
    purgeKg: number('purgeKg'),
    billedKg: number('billedKg'),
    addedKg: number('addedKg'),
    unitCostPerKg: number('unitCostPerKg'),
    pieces: number('piecesIn'),
    day: number('cutDay'),
    divisionKg,
    stepKg: writtenSteps(divisionKg, lines),
    ...lines,
  };
};

/** The scale division of each test's store, kg; the chain's where the store's is not known. */
const divisions = (store: readonly string[], chain: Chain, stores: readonly StoreRow[]): Float64Array => {
  const own = new Map(stores.map((row) => [row.store, row.scaleDivisionKg]));
  const usual = chain.tolerances.scale_division * kilogramsPer(chain.unit);
  return Float64Array.from(store, (name) => {
    const found = own.get(name) ?? 0;
    return found > 0 ? found : usual;
  });
};

/** Lines in the order of their tests (stable), as `measure` hands them on. */
const groupedLines = (
  screened: ScreenedNight,
  measured: MeasuredNight,
  of: { store: readonly string[]; testId: readonly string[] },
): Pick<ReviewFacts, 'lineStart' | 'lineRow' | 'lineKg' | 'lineOutput' | 'lineClass' | 'outputNames'> => {
  const { outputs } = screened;
  const testOf = matchedRows([textsOf(outputs, 'store'), textsOf(outputs, 'testId')], [of.store, of.testId]);
  const { start, rows } = groupedRows(testOf, of.store.length);
  const kg = numbersOf(outputs, 'outputKg');
  const names = codesOf(textsOf(outputs, 'output'));
  const classCode = new Map<string, number>(lineClasses.map((name, place) => [name, place]));
  const classes = textsOf(measured.outputs, 'outputClass');
  if (classes.length !== rows.length)
    throw new Error(`review: ${rows.length} lines screened, ${classes.length} measured`);
  return {
    lineStart: start,
    lineRow: rows,
    lineKg: Float64Array.from(rows, (row) => kg[row] as number),
    lineOutput: Int32Array.from(rows, (row) => names.codes[row] as number),
    lineClass: Int32Array.from(classes, (name) => classCode.get(name) ?? -1),
    outputNames: names.levels,
  };
};
