import type { IngestedTable } from '../ingest/ingested.ts';
import type { CellReaders } from './cellReaders.ts';

/** Accepted rows in file order, as far as needed to see whose row a refused one is. */
type Placed = { storeAndTest: string; sourceLine: number };

/**
 * Keys of tests that the refused rows of a table hold back. A row that may have lost its key (ragged, broken, key cell
 * refused) and names no test that other rows of the file name could be one of the rows of its neighbors: then both neighbors are held back, so
 * that no test is taken without one of its outputs.
 */
export const spoiledTests = (
  { refused, lines }: Pick<IngestedTable, 'refused' | 'lines'>,
  cells: Pick<CellReaders, 'storeAndTest'>,
): Set<string> => {
  const spoiled = new Set(refused.map((row) => row.storeAndTest));
  if (refused.every((row) => row.isSure)) return spoiled;
  const accepted = lines.sourceLine.map(
    (sourceLine, line): Placed => ({ storeAndTest: cells.storeAndTest(line), sourceLine }),
  );
  const known = new Set([...accepted, ...namedTwice(refused)].map((row) => row.storeAndTest));
  for (const row of refused) {
    if (row.isSure || (known.has(row.storeAndTest) && !row.isGlued)) continue;
    const after = firstAfter(accepted, row.sourceLine);
    for (const neighbor of [accepted[after - 1], accepted[after]])
      if (neighbor !== undefined) spoiled.add(neighbor.storeAndTest);
  }
  return spoiled;
};

/** Rows whose test an earlier one of them names too. */
const namedTwice = (rows: IngestedTable['refused']): IngestedTable['refused'] => {
  const seen = new Set<string>();
  return rows.filter(
    ({ storeAndTest }) => isWhole(storeAndTest) && (seen.has(storeAndTest) || !seen.add(storeAndTest)),
  );
};

/** Whether both store and test are named. */
const isWhole = (storeAndTest: string): boolean => !/^\0|\0$/.test(storeAndTest);

/** Place of the first accepted row below a line (binary search). */
const firstAfter = (accepted: readonly Placed[], sourceLine: number): number => {
  let [low, high] = [0, accepted.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((accepted[middle] as Placed).sourceLine < sourceLine) low = middle + 1;
    else high = middle;
  }
  return low;
};
