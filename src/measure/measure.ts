import type { Chain } from '../catalog/chain.ts';
import { priceList } from '../money/priceList.ts';
import type { NormalizedOutput, NormalizedTest, ReferenceTables } from '../normalize/normalized.ts';
import type { ScreenColumns, ScreenedNight } from '../screen/screened.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import { rowsOf, withColumns } from '../tables/rows.ts';
import type { MeasuredNight } from './measured.ts';
import { type LineFormulas, measureTest, type TestFormulas } from './measureTest.ts';

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
  const lines = rowsOf<NormalizedOutput>(screened.outputs);
  const linesOf = groupedBy(lines.keys(), (place) => {
    const { store, testId } = lines[place] as NormalizedOutput;
    return `${store}\u0000${testId}`;
  });
  const tests: TestFormulas[] = [];
  const outputs: LineFormulas[] = [];
  const order: number[] = [];
  for (const test of rowsOf<ScreenedTest>(screened.tests)) {
    const places = linesOf.get(`${test.store}\u0000${test.testId}`) ?? [];
    const own = places.map((place) => lines[place] as NormalizedOutput);
    const region = regionOf.get(test.store) ?? '';
    const measured = measureTest(test, own, { chain, prices, region, asOfDay });
    tests.push(measured.test);
    for (const [k, place] of places.entries()) {
      order.push(place);
      outputs.push(measured.outputs[k] as LineFormulas);
    }
  }
  return {
    tests: withColumns(screened.tests, tests),
    outputs: withColumns(screened.outputs.reify(order), outputs),
  };
};
