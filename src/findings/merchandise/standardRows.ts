import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import { priceAtMargin } from '../../money/marginPrice.ts';
import type { StandardRow } from '../../normalize/normalized.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { leastSquares } from '../../tables/leastSquares.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { countedTests } from '../../units/counted.ts';
import type { StandardChangeRow } from './decisionRows.ts';

/** A book yield that the tests do not settle, and why. */
export type StandardUnsettled = {
  item: string;
  method: string;
  output: string;
  book: number;
  tests: number;
  missing: string;
};

const fewest = 8;
const smallestGap = 0.005;

type Setting = { chain: Chain; asOfDay: number };
/** One output of one way of cutting: its share of drained in each test and the store it was cut in. */
type Shares = { yields: number[]; stores: string[]; price: number };

/**
 * Book yields in force that lie outside the 95 % interval of the mean measured yield (of drained, stores as clusters) by
 * half a point or more, with the price at the chain's target margin by the book and as measured; and those not settled.
 */
export const standardRows = (
  outputs: readonly MeasuredOutput[],
  used: readonly MeasuredTest[],
  standards: readonly StandardRow[],
  { chain, asOfDay }: Setting,
): { changes: StandardChangeRow[]; unsettled: StandardUnsettled[] } => {
  const testOf = new Map(used.map((test) => [`${test.store}\u0000${test.testId}`, test]));
  const linesOf = groupedBy(outputs, (line) => {
    const test = testOf.get(`${line.store}\u0000${line.testId}`);
    return test === undefined ? '' : `${test.item}\u0000${test.method}`;
  });
  const testsOf = groupedBy(used, (test) => `${test.item}\u0000${test.method}`);
  const found: { changes: StandardChangeRow[]; unsettled: StandardUnsettled[] } = {
    changes: [],
    unsettled: [],
  };
  const books = groupedBy(inForce(standards, asOfDay), (row) => `${row.item}\u0000${row.method}`);
  for (const [way, own] of books) {
    const shares = sharesOf(linesOf.get(way) ?? []);
    const cost = costPerDrained(testsOf.get(way) ?? []);
    for (const standard of own) {
      const measured = shares.get(standard.output);
      const judged = judge(standard, measured);
      if (judged === 'as measured') continue;
      if ('missing' in judged) found.unsettled.push(judged);
      else
        found.changes.push({
          ...judged,
          ...prices(standard.output, shares, own, { cost, target: chain.target_margin }),
        });
    }
  }
  return found;
};

const judge = (
  standard: StandardRow,
  measured: Shares | undefined,
): Omit<StandardChangeRow, 'priceAtTargetMargin' | 'priceAtBook'> | StandardUnsettled | 'as measured' => {
  const { item, method, output, yieldFraction: book } = standard;
  const tests = measured?.yields.length ?? 0;
  if (measured === undefined || tests < fewest)
    return { item, method, output, book, tests, missing: `${countedTests(tests)}; ${fewest} are needed` };
  const codes = [...new Set(measured.stores)];
  const codeOf = new Map(codes.map((store, code) => [store, code]));
  const fit = leastSquares(
    measured.yields.map(() => [1]),
    measured.yields,
    measured.stores.map((store) => codeOf.get(store) as number),
  );
  const mean = fit.coefficients[0] as number;
  const reach = z975 * Math.sqrt(fit.covariance[0] as number);
  if (Math.abs(book - mean) < Math.max(reach, smallestGap)) return 'as measured';
  return { item, method, output, book, measured: mean, low: mean - reach, high: mean + reach, tests };
};

const sharesOf = (lines: readonly MeasuredOutput[]): Map<string, Shares> => {
  const found = new Map<string, Shares>();
  for (const [output, own] of groupedBy(lines, (line) => line.output)) {
    const known = own.filter((line) => Number.isFinite(line.outputYield));
    const sold = own.filter((line) => line.salesValue > 0);
    const kg = sold.reduce((sum, line) => sum + line.outputKg, 0);
    found.set(output, {
      yields: known.map((line) => line.outputYield),
      stores: known.map((line) => line.store),
      price: kg > 0 ? sold.reduce((sum, line) => sum + line.salesValue, 0) / kg : 0,
    });
  }
  return found;
};

const costPerDrained = (tests: readonly MeasuredTest[]): number => {
  const known = tests.filter((test) => test.purchaseCost > 0 && test.drainedKg > 0);
  return (
    known.reduce((sum, test) => sum + test.purchaseCost, 0) /
    known.reduce((sum, test) => sum + test.drainedKg, 0)
  );
};

/**
 * Price of the output at the target margin, cost shared by sales value: as measured, and by the book (outputs without a
 * book yield keep their measured proportions in what the book leaves). NaN where cost or price is not known.
 */
const prices = (
  output: string,
  shares: ReadonlyMap<string, Shares>,
  books: readonly StandardRow[],
  { cost, target }: { cost: number; target: number },
): Pick<StandardChangeRow, 'priceAtTargetMargin' | 'priceAtBook'> => {
  const bookOf = new Map(books.map((row) => [row.output, row.yieldFraction]));
  const mean = (own: Shares): number =>
    own.yields.length === 0 ? 0 : own.yields.reduce((sum, value) => sum + value, 0) / own.yields.length;
  const lines = [...shares].map(([name, own]) => ({
    price: own.price,
    measured: mean(own),
    book: bookOf.get(name),
  }));
  const booked = lines.filter((line) => line.book !== undefined);
  const left = (of: (line: (typeof lines)[number]) => number): number =>
    1 - booked.reduce((sum, line) => sum + of(line), 0);
  const scale = left((line) => line.book as number) / left((line) => line.measured);
  const valueAt = (share: (line: (typeof lines)[number]) => number): number =>
    lines.reduce((sum, line) => sum + share(line) * line.price, 0);
  const at = (value: number): number => {
    const price = shares.get(output)?.price ?? 0;
    return price > 0 && value > 0 ? priceAtMargin((price * cost) / value, target / 100) : Number.NaN;
  };
  return {
    priceAtTargetMargin: at(valueAt((line) => line.measured)),
    priceAtBook: at(valueAt((line) => line.book ?? line.measured * scale)),
  };
};

/** The latest row in force by item, method and output, in their order. */
const inForce = (standards: readonly StandardRow[], asOfDay: number): StandardRow[] => {
  const latest = new Map<string, StandardRow>();
  for (const row of standards) {
    const key = `${row.item}\u0000${row.method}\u0000${row.output}`;
    const known = latest.get(key);
    if (row.validFrom <= asOfDay && (known === undefined || row.validFrom >= known.validFrom))
      latest.set(key, row);
  }
  return [...latest.keys()].sort().map((key) => latest.get(key) as StandardRow);
};
