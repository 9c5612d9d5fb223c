import type { Chain } from '../catalog/chain.ts';
import { priceList } from '../money/priceList.ts';
import type { NormalizedOutput, NormalizedTest, ReferenceTables } from '../normalize/normalized.ts';
import type { ScreenColumns, ScreenedNight } from '../screen/screened.ts';
import { rowsOf, tableFromRows } from '../tables/rows.ts';
import type { MeasuredNight, MeasuredOutput, MeasuredTest } from './measured.ts';
import { measureTest } from './measureTest.ts';

type ScreenedTest = NormalizedTest & ScreenColumns;

/**
 * Yield and money of every test, held ones too (their state says so). Prices are those in force on the test's day in the
 * store's region; people are compared at the one chain regular list in force on `asOfDay`.
 */
export const measure = (
  screened: ScreenedNight,
  reference: ReferenceTables,
  chain: Chain,
  asOfDay: number,
): MeasuredNight => {
  const prices = priceList(reference.prices);
  const regionOf = new Map(reference.stores.map((store) => [store.store, store.region]));
  const linesOf = new Map<string, NormalizedOutput[]>();
  for (const line of rowsOf<NormalizedOutput>(screened.outputs)) {
    const key = `${line.store}\u0000${line.testId}`;
    const lines = linesOf.get(key);
    if (lines === undefined) linesOf.set(key, [line]);
    else lines.push(line);
  }
  const tests: MeasuredTest[] = [];
  const outputs: MeasuredOutput[] = [];
  for (const test of rowsOf<ScreenedTest>(screened.tests)) {
    const lines = linesOf.get(`${test.store}\u0000${test.testId}`) ?? [];
    const measured = measureTest(test, lines, {
      chain,
      prices,
      region: regionOf.get(test.store) ?? '',
      asOfDay,
    });
    tests.push(measured.test);
    for (const line of measured.outputs) outputs.push(line);
  }
  const testNames = tests[0] === undefined ? screened.tests.columnNames() : Object.keys(tests[0]);
  const outputNames = outputs[0] === undefined ? screened.outputs.columnNames() : Object.keys(outputs[0]);
  return {
    tests: tableFromRows(tests, testNames as (keyof MeasuredTest)[]),
    outputs: tableFromRows(outputs, outputNames as (keyof MeasuredOutput)[]),
  };
};
