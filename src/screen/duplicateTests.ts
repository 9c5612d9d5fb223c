import type { NormalizedOutput, NormalizedTest } from '../normalize/normalized.ts';

const signatureOf = (test: NormalizedTest, outputs: readonly NormalizedOutput[]): string =>
  JSON.stringify([
    test.store,
    test.cutter,
    test.item,
    test.spec,
    test.receivedKg,
    outputs.map((line) => [line.output, Number.isNaN(line.outputKg) ? 'blank' : line.outputKg]).sort(),
  ]);

/**
 * Keys (store NUL testId) of tests that repeat every weight of an earlier test of the same cutter and item; the earliest by
 * day, then test id, is not among them. A test with fewer than three weighed lines is too plain to call a copy.
 */
export const duplicateTests = (
  tests: readonly NormalizedTest[],
  linesOf: ReadonlyMap<string, readonly NormalizedOutput[]>,
): ReadonlySet<string> => {
  const first = new Set<string>();
  const duplicates = new Set<string>();
  const inOrder = [...tests].sort((a, b) => a.cutDay - b.cutDay || (a.testId < b.testId ? -1 : 1));
  for (const test of inOrder) {
    const key = `${test.store}\u0000${test.testId}`;
    const outputs = linesOf.get(key) ?? [];
    if (outputs.filter((line) => line.outputKg > 0).length < 3) continue;
    const signature = signatureOf(test, outputs);
    if (first.has(signature)) duplicates.add(key);
    first.add(signature);
  }
  return duplicates;
};
