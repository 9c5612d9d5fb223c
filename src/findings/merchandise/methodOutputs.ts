import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import { costBySalesValue, costByWeight } from '../../money/jointCost.ts';
import { priceAtMargin } from '../../money/marginPrice.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { testKey } from '../buying/boughtTests.ts';

/**
 * What each output of a way of cutting costs, by the named ways of sharing the purchase cost, and what it would sell at.
 * Money per kg of the output; margin of sales and markup on cost are fractions. NaN where cost or price is not known.
 */
export type MethodOutputRow = {
  item: string;
  spec: string;
  method: string;
  output: string;
  outputClass: string;
  tests: number;
  ofBilled: number;
  pricePerKg: number;
  costBySalesValuePerKg: number;
  costByWeightPerKg: number;
  /** The butcher's test: purchase cost less credit of all else, for the main outputs together; NaN for other outputs. */
  residualCostPerKg: number;
  margin: number;
  markup: number;
  priceAtTargetMargin: number;
  /** What is missing for costs and margins; '' when nothing is. */
  missing: string;
};

/**
 * Every output of every way of cutting. The purchase cost of all its fully priced tests with a cost is shared over all that
 * came out of them, so that shares add to the cost and, by sales value, every output shows the same margin.
 */
export const methodOutputs = (
  used: readonly MeasuredTest[],
  outputs: readonly MeasuredOutput[],
  chain: Chain,
): MethodOutputRow[] => {
  const linesOf = groupedBy(outputs, testKey);
  const whole = used.filter((test) => test.billedFilledKg > 0);
  const ways = groupedBy(whole, (test) => [test.item, test.spec, test.method].join('\u0000'));
  return [...ways.keys()].sort().flatMap((way) => {
    const [item, spec, method] = way.split('\u0000') as [string, string, string];
    return wayRows({ item, spec, method }, ways.get(way) as MeasuredTest[], {
      linesOf,
      target: chain.target_margin,
    });
  });
};

type Way = Pick<MethodOutputRow, 'item' | 'spec' | 'method'>;
type Pool = { output: string; outputClass: string; tests: number; kg: number; price: number };

const wayRows = (
  way: Way,
  tests: readonly MeasuredTest[],
  about: { linesOf: ReadonlyMap<string, readonly MeasuredOutput[]>; target: number },
): MethodOutputRow[] => {
  // a test with an unpriced output would put that output's cost on the others
  const priced = tests.filter((test) => test.unpriced === '');
  const paid = priced.filter((test) => Number.isFinite(test.purchaseCost));
  const shown = [paid, priced, tests].find((own) => own.length > 0) as readonly MeasuredTest[];
  const pools = pooled(shown, about.linesOf);
  const cost = paid.length > 0 ? sum(paid, (test) => test.purchaseCost) : Number.NaN;
  const billed = sum(shown, (test) => test.billedFilledKg);
  const missing = missingOf(tests, priced, paid);
  const kg = pools.map((pool) => pool.kg);
  const byValue = costBySalesValue(
    kg,
    pools.map((pool) => pool.price),
    cost,
  );
  const byWeight = costByWeight(kg, cost);
  const residual =
    sum(paid, (test) => test.residualCost) /
    sum(paid, (test) => (Number.isFinite(test.residualCost) ? test.mainCutKg : 0));
  return pools.map((pool, i) => {
    const costPerKg = (byValue[i] as number) / pool.kg;
    return {
      ...way,
      output: pool.output,
      outputClass: pool.outputClass,
      tests: pool.tests,
      ofBilled: pool.kg / billed,
      pricePerKg: pool.price,
      costBySalesValuePerKg: costPerKg,
      costByWeightPerKg: (byWeight[i] as number) / pool.kg,
      residualCostPerKg: pool.outputClass === 'main cut' ? residual : Number.NaN,
      margin: pool.price > 0 ? (pool.price - costPerKg) / pool.price : Number.NaN,
      markup: costPerKg > 0 ? (pool.price - costPerKg) / costPerKg : Number.NaN,
      priceAtTargetMargin: costPerKg > 0 ? priceAtMargin(costPerKg, about.target / 100) : Number.NaN,
      missing,
    };
  });
};

const missingOf = (
  tests: readonly MeasuredTest[],
  priced: readonly MeasuredTest[],
  paid: readonly MeasuredTest[],
): string => {
  if (priced.length === 0)
    return `no price in force for ${[...new Set(tests.flatMap((test) => test.unpriced.split(';')))].sort().join(', ')}`;
  return paid.length === 0 ? 'no sheet tells what the piece cost' : '';
};

/** What came out of the tests by output, by name: kg, and the mean price in force of what has one. */
const pooled = (
  tests: readonly MeasuredTest[],
  linesOf: ReadonlyMap<string, readonly MeasuredOutput[]>,
): Pool[] => {
  const lines = tests.flatMap((test) => linesOf.get(testKey(test)) ?? []).filter((line) => line.outputKg > 0);
  const byOutput = groupedBy(lines, (line) => line.output);
  return [...byOutput.keys()].sort().map((output) => {
    const own = byOutput.get(output) as MeasuredOutput[];
    const sold = own.filter((line) => Number.isFinite(line.salesValue));
    const soldKg = sum(sold, (line) => line.outputKg);
    return {
      output,
      outputClass: (own[0] as MeasuredOutput).outputClass,
      tests: own.length,
      kg: sum(own, (line) => line.outputKg),
      price: soldKg > 0 ? sum(sold, (line) => line.salesValue) / soldKg : Number.NaN,
    };
  });
};

const sum = <Row>(rows: readonly Row[], value: (row: Row) => number): number =>
  rows.reduce((total, row) => total + value(row), 0);
