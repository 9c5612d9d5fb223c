import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import { byCodeUnit } from '../../tables/byCodeUnit.ts';
import { groupedBy } from '../../tables/groupedBy.ts';

/** An output that was weighed without a price in force on its day or at the regular list; money takes it as 0. */
export type UnpricedRow = {
  output: string;
  outputClass: string;
  /** Used tests that weighed it, and those in which it had no price. */
  tests: number;
  testsWithout: number;
  /** Weight without a price, kg, and as a fraction of all that was cut in used tests. */
  kg: number;
  shareOfCut: number;
};

/** How many used tests whose cost is known sell for less than was paid, at the prices of their day. */
export type MarginCount = { known: number; negative: number };

/** Outputs without a price, the heaviest first. Waste needs none. */
export const unpricedRows = (
  used: readonly MeasuredTest[],
  outputs: readonly MeasuredOutput[],
): UnpricedRow[] => {
  const key = (row: { store: string; testId: string }): string => `${row.store}\u0000${row.testId}`;
  const tests = new Set(used.map(key));
  const cut = outputs.filter((line) => line.outputKg > 0 && tests.has(key(line)));
  const all = weightOf(cut);
  const testsOf = (lines: readonly MeasuredOutput[]): number => new Set(lines.map(key)).size;
  return [...groupedBy(cut, (line) => line.output)]
    .flatMap(([output, lines]) => {
      const without = lines.filter(
        (line) =>
          line.outputClass !== 'waste' &&
          (Number.isNaN(line.pricePerKg) || Number.isNaN(line.regularPricePerKg)),
      );
      const first = without[0];
      if (first === undefined) return [];
      const kg = weightOf(without);
      return [
        {
          output,
          outputClass: first.outputClass,
          tests: testsOf(lines),
          testsWithout: testsOf(without),
          kg,
          shareOfCut: kg / all,
        },
      ];
    })
    .sort((a, b) => b.kg - a.kg || byCodeUnit(a.output, b.output));
};

/** Tests sold below cost; a test without a unit cost is not counted. */
export const marginCount = (used: readonly MeasuredTest[]): MarginCount => {
  const known = used.filter((test) => Number.isFinite(test.grossMargin));
  return { known: known.length, negative: known.filter((test) => test.grossMargin < 0).length };
};

const weightOf = (lines: readonly MeasuredOutput[]): number =>
  lines.reduce((sum, line) => sum + line.outputKg, 0);
