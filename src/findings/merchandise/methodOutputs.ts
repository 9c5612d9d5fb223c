import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import { priceAtMargin } from '../../money/marginPrice.ts';
import { groupedBy } from './methodGroup.ts';

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
};

/** Every output of every way of cutting: purchase cost shared by sales value and by weight, over fully priced tests with a cost. */
export const methodOutputs = (
  used: readonly MeasuredTest[],
  outputs: readonly MeasuredOutput[],
  chain: Chain,
): MethodOutputRow[] => {
  const key = (row: { store: string; testId: string }): string => `${row.store}\u0000${row.testId}`;
  const linesOf = groupedBy(outputs, key);
  // a test with an unpriced output would put that output's cost on the others
  const priced = used.filter((test) => test.unpriced === '');
  const ways = groupedBy(priced, (test) => [test.item, test.spec, test.method].join('\u0000'));
  return [...ways.keys()].sort().flatMap((way) => {
    const tests = ways.get(way) as MeasuredTest[];
    const lines = tests.flatMap((test) => linesOf.get(key(test)) ?? []).filter((line) => line.outputKg > 0);
    const byOutput = groupedBy(lines, (line) => line.output);
    const billed = sum(tests, (test) => test.billedFilledKg);
    const residual =
      sum(tests, (test) => test.residualCost) /
      sum(tests, (test) => known(test.residualCost, test.mainCutKg));
    const [item, spec, method] = way.split('\u0000') as [string, string, string];
    return [...byOutput.keys()].sort().map((output) => {
      const own = byOutput.get(output) as MeasuredOutput[];
      return outputRow({ item, spec, method, output }, own, {
        billed,
        residual,
        target: chain.target_margin,
      });
    });
  });
};

/** Sum of the values that are known. */
const sum = <Row>(rows: readonly Row[], value: (row: Row) => number): number =>
  rows.reduce((total, row) => (Number.isFinite(value(row)) ? total + value(row) : total), 0);
const known = (part: number, whole: number): number => (Number.isFinite(part) ? whole : Number.NaN);
const over = (part: number, whole: number): number => (whole > 0 ? part / whole : Number.NaN);

const outputRow = (
  name: Pick<MethodOutputRow, 'item' | 'spec' | 'method' | 'output'>,
  own: readonly MeasuredOutput[],
  about: { billed: number; residual: number; target: number },
): MethodOutputRow => {
  const price = over(
    sum(own, (line) => line.salesValue),
    sum(own, (line) => known(line.salesValue, line.outputKg)),
  );
  const cost = over(
    sum(own, (line) => line.costBySalesValue),
    sum(own, (line) => known(line.costBySalesValue, line.outputKg)),
  );
  const outputClass = (own[0] as MeasuredOutput).outputClass;
  return {
    ...name,
    outputClass,
    tests: own.length,
    ofBilled: over(
      sum(own, (line) => line.outputKg),
      about.billed,
    ),
    pricePerKg: price,
    costBySalesValuePerKg: cost,
    costByWeightPerKg: over(
      sum(own, (line) => line.costByWeight),
      sum(own, (line) => known(line.costByWeight, line.outputKg)),
    ),
    residualCostPerKg: outputClass === 'main cut' ? about.residual : Number.NaN,
    margin: price > 0 ? (price - cost) / price : Number.NaN,
    markup: cost > 0 ? (price - cost) / cost : Number.NaN,
    priceAtTargetMargin: cost > 0 ? priceAtMargin(cost, about.target / 100) : Number.NaN,
  };
};
