import type { Reject, TypedLines } from '../ingest/ingested.ts';
import type { NormalizeSetting } from './normalizedTests.ts';
import { rowFault } from './rowFaults.ts';

type Setting = Pick<NormalizeSetting, 'path' | 'keys' | 'cells'>;

/**
 * Tests that a slip in the store or test_id of some rows tore apart (a capital, a lost zero, another digit): rows that
 * follow each other, say the same of the test in every other field, and share no output. Both tests are held back, so that
 * none is taken without its outputs: by key, the rejects of the fewer rows, none for the rest.
 */
export const tornTests = (
  { runs }: TypedLines,
  groups: ReadonlyMap<string, readonly number[]>,
  setting: Setting,
): Map<string, Reject[]> => {
  const { cells } = setting;
  const torn = new Map<string, Reject[]>();
  const isAlike = likeness(setting);
  const outputsOf = (rows: readonly number[]): Set<string> =>
    new Set(rows.map((row) => setting.keys.output.find(cells.text(row, 'output'))));
  for (let below = 1; below < runs.length; below++) {
    const above = below - 1;
    if (runs[above] === runs[below] || !isAlike(above, below)) continue;
    const [keyAbove, keyBelow] = [cells.storeAndTest(above), cells.storeAndTest(below)];
    const own = (key: string): number[] => (groups.get(key) ?? []).filter((row) => isAlike(row, above));
    const [upper, lower] = [own(keyAbove), own(keyBelow)];
    const outputs = outputsOf(upper);
    if (keyAbove === keyBelow || [...outputsOf(lower)].some((output) => outputs.has(output))) continue;
    const [fewer, key, more, other] =
      lower.length <= upper.length ? [lower, keyBelow, upper, keyAbove] : [upper, keyAbove, lower, keyBelow];
    torn.set(
      key,
      fewer.map((row) => slipOf(row, more[0] as number, setting)),
    );
    if (!torn.has(other)) torn.set(other, []);
  }
  return torn;
};

/** Whether two rows say the same of their tests, store and test_id apart. */
const likeness = ({ cells }: Setting): ((a: number, b: number) => boolean) => {
  const told = cells.sharedFields.filter((name) => name !== 'store' && name !== 'test_id');
  return (a, b) => cells.differing(a, b, told) === '';
};

const slipOf = (row: number, like: number, { path, cells }: Setting): Reject => {
  const field = cells.text(row, 'store') === cells.text(like, 'store') ? 'test_id' : 'store';
  return rowFault(path, cells.at(row), 'test-fields-differ', {
    field,
    found: cells.text(row, field),
    expected: `"${cells.text(like, field)}" as in the rows beside it, if it is their test`,
  });
};
