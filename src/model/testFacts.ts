import type { ColumnTable } from 'arquero';
import { classYields, type Outcome, outcomes } from '../catalog/outcomes.ts';
import { codesOf, numbersOf, textsOf } from '../tables/columns.ts';

/** The measured column behind each outcome. */
const outcomeColumns: Record<Outcome, string> = {
  saleable: 'saleableYield',
  ...classYields,
  value: 'valuePerKg',
};

/** Joins the parts of a key. */
export const nul = '\u0000';

/** Facts of the used tests by column, one entry a test, sorted by (store, testId). */
export type TestFacts = {
  n: number;
  text: (name: string) => string[];
  number: (name: string) => Float64Array;
  join: (...names: string[]) => string[];
  actual: Float64Array[];
};

/** Row numbers of the tests that count: all but those held. */
export const usedRows = (tests: ColumnTable): number[] =>
  textsOf(tests, tests.numRows() === 0 ? 'store' : 'state').flatMap((state, i) =>
    state === 'held' ? [] : [i],
  );

/** The facts of a table of used tests. */
export const factsOf = (used: ColumnTable): TestFacts => {
  const n = used.numRows();
  const text = (name: string): string[] => textsOf(used, name);
  return {
    n,
    text,
    number: (name) => numbersOf(used, name),
    join: (...names) => {
      const columns = names.map(text);
      return Array.from({ length: n }, (_, i) => columns.map((column) => column[i]).join(nul));
    },
    actual: outcomes.map((outcome) => numbersOf(used, outcomeColumns[outcome])),
  };
};

/** Codes of texts, '' = -1 (not known). */
export const codesOrMissing = (texts: readonly string[]): { codes: Int32Array; levels: string[] } => {
  const { codes, levels } = codesOf(texts);
  return levels[0] === ''
    ? { codes: codes.map((code) => code - 1), levels: levels.slice(1) }
    : { codes, levels };
};

/** Items with a test in which some lean trim does not count as saleable. */
export const unsoldItems = ({ text, actual }: TestFacts): Set<string> => {
  const item = text('item');
  const of = (outcome: Outcome): Float64Array => actual[outcomes.indexOf(outcome)] as Float64Array;
  const [saleable, main, other, lean] = [of('saleable'), of('main_cut'), of('other_cut'), of('lean_trim')];
  const unsold = new Set<string>();
  for (const [i, value] of saleable.entries())
    if (Math.abs(value - (main[i] as number) - (other[i] as number) - (lean[i] as number)) > 1e-9)
      unsold.add(item[i] as string);
  return unsold;
};
