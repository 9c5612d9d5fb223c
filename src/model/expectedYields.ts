import { codesOf } from '../tables/columns.ts';
import { huberWeights } from './robust/huberWeights.ts';

/** Test facts that set what a test should have yielded, one text per test. */
export type Circumstances = { group: string[]; method: string[]; grade: string[]; weightClass: string[] };

const fewest = 8;

/**
 * Expected outcomes per test: Huber-weighted means of the most specific cell with at least 8 tests, in the order item
 * (with spec and treatment) x method x grade x weight class, x method x grade, x method, item. One weight per test serves
 * all outcomes, so that classes that add to 1 in every test add to 1 in what is expected. actual[k][i] -> expected[k][i].
 */
export const expectedYields = (
  actual: readonly Float64Array[],
  at: Circumstances,
): { expected: Float64Array[] } => {
  const n = at.group.length;
  const join = (...columns: string[][]): string[] =>
    Array.from({ length: n }, (_, i) => columns.map((column) => column[i]).join('\u0000'));
  const ladders = [
    join(at.group),
    join(at.group, at.method),
    join(at.group, at.method, at.grade),
    join(at.group, at.method, at.grade, at.weightClass),
  ];
  const expected = actual.map(() => new Float64Array(n));
  for (const [depth, keys] of ladders.entries())
    fillFromCells(actual, keys, { expected, fewest: depth < 2 ? 1 : fewest });
  return { expected };
};

/** Fills `expected` in place (preallocated) for the tests of every cell that is large enough. */
const fillFromCells = (
  actual: readonly Float64Array[],
  keys: string[],
  out: { expected: Float64Array[]; fewest: number },
): void => {
  const { codes, levels } = codesOf(keys);
  const members: number[][] = levels.map(() => []);
  for (const [i, code] of codes.entries()) (members[code] as number[]).push(i);
  for (const cell of members) {
    if (cell.length < out.fewest) continue;
    const perOutcome = actual.map((values) => huberWeights(cell.map((i) => values[i] as number)));
    const weight = cell.map((_, place) => Math.min(...perOutcome.map((values) => values[place] as number)));
    const total = weight.reduce((sum, value) => sum + value, 0);
    const means = actual.map(
      (values) =>
        cell.reduce((sum, i, place) => sum + (weight[place] as number) * (values[i] as number), 0) / total,
    );
    cell.forEach((i) => {
      for (const [k, mean] of means.entries()) (out.expected[k] as Float64Array)[i] = mean;
    });
  }
};
