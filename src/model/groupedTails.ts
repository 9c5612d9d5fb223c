import { classOutcomes, outcomes } from '../catalog/outcomes.ts';
import { compositionTails } from './compositionTails.ts';

/** Rows of the night in one group, their methods and their yields by outcome. */
type Cut = {
  rows: readonly number[];
  problem: { method: readonly string[]; actual: readonly Float64Array[] };
};

/**
 * How odd each test's composition is about what its own cutter in its store was to cut (compositionTails), by group.
 * expected, effects: by outcome, one number a row of the night, fraction of drained. NaN in rows of no group.
 */
export const groupedTails = (
  groups: readonly Cut[],
  expected: readonly Float64Array[],
  effects: readonly { store: Float64Array; cutter: Float64Array }[],
): Float64Array => {
  const tails = new Float64Array(expected[0]?.length ?? 0).fill(Number.NaN);
  const own = classOutcomes.map((part) => outcomes.indexOf(part));
  for (const { rows, problem } of groups) {
    const here = (k: number): Float64Array =>
      Float64Array.from(rows, (i) => {
        const { store, cutter } = effects[k] as { store: Float64Array; cutter: Float64Array };
        return (expected[k]?.[i] as number) + (store[i] as number) + (cutter[i] as number);
      });
    const tail = compositionTails({
      actual: own.map((k) => problem.actual[k] as Float64Array),
      expected: own.map(here),
      methods: problem.method,
    });
    for (const [place, i] of rows.entries()) tails[i] = tail[place] as number;
  }
  return tails;
};
