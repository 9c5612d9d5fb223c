import { mean, sampleStandardDeviation } from 'simple-statistics';
import type { Chain } from '../catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../measure/measured.ts';
import type { StandardRow } from '../normalize/normalized.ts';
import { z975 } from '../tables/normalDistribution.ts';
import type { StandardChangeRow } from './found.ts';

const fewest = 8;
const smallestGap = 0.005;

/** Book yields in force that lie outside the 95 % interval of the mean measured yield (of drained) by half a point or more. */
export const standardsToChange = (
  outputs: readonly MeasuredOutput[],
  used: readonly MeasuredTest[],
  standards: readonly StandardRow[],
  { chain, asOfDay }: { chain: Chain; asOfDay: number },
): StandardChangeRow[] => {
  const testOf = new Map(used.map((test) => [`${test.store}\u0000${test.testId}`, test]));
  const lines = new Map<string, MeasuredOutput[]>();
  for (const output of outputs) {
    const test = testOf.get(`${output.store}\u0000${output.testId}`);
    if (test === undefined || !Number.isFinite(output.outputYield)) continue;
    const key = `${test.item}\u0000${test.method}\u0000${output.output}`;
    const own = lines.get(key);
    if (own === undefined) lines.set(key, [output]);
    else own.push(output);
  }
  return inForce(standards, asOfDay).flatMap((standard): StandardChangeRow[] => {
    const own = lines.get(`${standard.item}\u0000${standard.method}\u0000${standard.output}`) ?? [];
    if (own.length < fewest) return [];
    const yields = own.map((line) => line.outputYield);
    const measured = mean(yields);
    const reach = (z975 * sampleStandardDeviation(yields)) / Math.sqrt(yields.length);
    if (Math.abs(standard.yieldFraction - measured) < Math.max(reach, smallestGap)) return [];
    const costs = own
      .filter((line) => line.outputKg > 0 && Number.isFinite(line.costBySalesValue))
      .map((line) => line.costBySalesValue / line.outputKg);
    const price = costs.length > 0 ? mean(costs) / (1 - chain.target_margin / 100) : Number.NaN;
    return [
      {
        item: standard.item,
        method: standard.method,
        output: standard.output,
        book: standard.yieldFraction,
        measured,
        low: measured - reach,
        high: measured + reach,
        tests: own.length,
        priceAtTargetMargin: price,
      },
    ];
  });
};

const inForce = (standards: readonly StandardRow[], asOfDay: number): StandardRow[] => {
  const latest = new Map<string, StandardRow>();
  for (const row of standards) {
    const key = `${row.item}\u0000${row.method}\u0000${row.output}`;
    if (
      row.validFrom <= asOfDay &&
      !((latest.get(key)?.validFrom ?? Number.NEGATIVE_INFINITY) > row.validFrom)
    )
      latest.set(key, row);
  }
  return [...latest.keys()].sort().map((key) => latest.get(key) as StandardRow);
};
