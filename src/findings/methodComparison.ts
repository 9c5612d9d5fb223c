import { mean, sampleVariance } from 'simple-statistics';
import type { MeasuredOutput, MeasuredTest } from '../measure/measured.ts';
import { breakEvenPrice } from '../money/breakEvenPrice.ts';
import { z975 } from '../tables/normalDistribution.ts';
import type { MethodRow } from './found.ts';

const fewest = 8;

/**
 * Ways of cutting one item against each other: margin per billed kg after labor and the 95 % interval of its difference
 * from the other method, and for each priced cut of the method the price per kg at which it would earn the same. Raw
 * means of tests with every output priced; not adjusted for who chose the method. At least 8 tests a method.
 */
export const methodComparison = (
  used: readonly MeasuredTest[],
  outputs: readonly MeasuredOutput[],
): MethodRow[] => {
  const groups = new Map<string, MeasuredTest[]>();
  for (const test of used) {
    if (test.unpriced !== '' || !Number.isFinite(test.marginAfterLabor / test.billedFilledKg)) continue;
    const key = `${test.item}\u0000${test.method}`;
    groups.set(key, [...(groups.get(key) ?? []), test]);
  }
  const known = [...groups].filter(([, own]) => own.length >= fewest).sort((a, b) => (a[0] < b[0] ? -1 : 1));
  return known.flatMap(([key, own]) =>
    known
      .filter(([otherKey]) => otherKey !== key && otherKey.split('\u0000')[0] === key.split('\u0000')[0])
      .flatMap(([, other]) => compared(own, other, outputs)),
  );
};

const perBilled = (tests: readonly MeasuredTest[], money: (test: MeasuredTest) => number): number[] =>
  tests.map((test) => money(test) / test.billedFilledKg);

const compared = (
  own: readonly MeasuredTest[],
  other: readonly MeasuredTest[],
  outputs: readonly MeasuredOutput[],
): MethodRow[] => {
  const [mine, theirs] = [own, other].map((tests) => perBilled(tests, (test) => test.marginAfterLabor)) as [
    number[],
    number[],
  ];
  const gap = mean(mine) - mean(theirs);
  const reach = z975 * Math.sqrt(sampleVariance(mine) / mine.length + sampleVariance(theirs) / theirs.length);
  const money = (tests: readonly MeasuredTest[]) => ({
    marginPerBilledKg: mean(perBilled(tests, (test) => test.grossMargin)),
    laborPerBilledKg: mean(perBilled(tests, (test) => test.laborCost)),
  });
  const [a, b] = [money(other), money(own)];
  const keys = new Set(own.map((test) => `${test.store}\u0000${test.testId}`));
  const lines = outputs.filter(
    (line) =>
      keys.has(`${line.store}\u0000${line.testId}`) &&
      line.outputClass.endsWith('cut') &&
      line.pricePerKg > 0,
  );
  const billed = own.reduce((sum, test) => sum + test.billedFilledKg, 0);
  const names = [...new Set(lines.map((line) => line.output))].sort();
  const first = own[0] as MeasuredTest;
  return names.map((output): MethodRow => {
    const these = lines.filter((line) => line.output === output);
    const kg = these.reduce((sum, line) => sum + line.outputKg, 0);
    const price = these.reduce((sum, line) => sum + line.salesValue, 0) / kg;
    const even = breakEvenPrice(a, b, { pricePerKg: price, outputOfBilled: kg / billed });
    return {
      item: first.item,
      method: first.method,
      otherMethod: (other[0] as MeasuredTest).method,
      tests: own.length,
      marginPerBilledKg: mean(mine),
      marginReach: z975 * Math.sqrt(sampleVariance(mine) / mine.length),
      gapPerBilledKg: gap,
      low: gap - reach,
      high: gap + reach,
      minutes: mean(own.map((test) => test.minutes)),
      output,
      pricePerKg: price,
      breakEvenPerKg: even.withoutLabor,
      breakEvenWithLaborPerKg: even.withLabor,
    };
  });
};
