import { balanceColumns } from './compositional/balanceColumns.ts';
import { robustDistances } from './robust/robustDistances.ts';

/**
 * Class shares of drained weight of the tests of one item, spec and treatment, class by class, as cut and as expected (of
 * this cutter in this store); unaccounted is the last class, waste the one before. methods: one a test.
 */
export type Shares = {
  actual: readonly Float64Array[];
  expected: readonly Float64Array[];
  methods: readonly string[];
};

/** Shares below 0.1 points are not told apart: small ones would rule the log-ratios. */
const smallest = 0.001;

/**
 * Chance that a test cut and weighed like the most lies as far from its expected composition or farther, by method: robust
 * distance of what its log-ratios are beyond the expected ones (Filzmoser & Hron 2008 Math. Geosci. 40:233). Near 0: the lines
 * together are odd; near 1: too near to what is expected. Waste and unaccounted are one part, at least 0.1 points; a class
 * that most tests of the method do not have is no part of its composition. NaN with too few tests or no spread.
 */
export const compositionTails = ({ actual, expected, methods }: Shares): Float64Array => {
  const tails = new Float64Array(methods.length).fill(Number.NaN);
  for (const method of new Set(methods)) {
    const rows = [...methods.keys()].filter((i) => methods[i] === method);
    const of = (columns: readonly Float64Array[]): Float64Array[] =>
      columns.map((column) => Float64Array.from(rows, (i) => column[i] as number));
    const own = of(actual);
    const isPart = own.map((column) => 2 * column.filter((share) => share > 0).length >= rows.length);
    const balances = [own, of(expected)].map((columns) =>
      balanceColumns(partsOf(columns, isPart), new Float64Array(rows.length).fill(smallest)),
    );
    const beyond = (balances[0] as Float64Array[]).map((column, j) =>
      column.map((value, i) => value - (balances[1]?.[j]?.[i] as number)),
    );
    const { tail } = robustDistances(beyond);
    for (const [place, i] of rows.entries()) tails[i] = tail[place] as number;
  }
  return tails;
};

/** The parts of a composition: classes that belong, and one last part of waste, unaccounted and whatever does not belong. */
const partsOf = (columns: readonly Float64Array[], isPart: readonly boolean[]): Float64Array[] => {
  const last = columns.length - 2;
  const kept = columns.filter((_, k) => k < last && isPart[k]);
  const others = columns.filter((_, k) => k >= last || !isPart[k]);
  const rest = new Float64Array(columns[0]?.length ?? 0);
  for (const column of others)
    for (let i = 0; i < rest.length; i++) rest[i] = (rest[i] as number) + (column[i] as number);
  // what is expected of a class can end a little below 0
  const raised = kept.map((column) => column.map((share) => (share === 0 ? 0 : Math.max(share, smallest))));
  return [...raised, rest.map((share) => Math.max(share, smallest))];
};
