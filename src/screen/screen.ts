import { median } from 'simple-statistics';
import type { Chain } from '../catalog/chain.ts';
import { massBalance } from '../money/massBalance.ts';
import type { NormalizedNight, NormalizedOutput, NormalizedTest } from '../normalize/normalized.ts';
import { rowsOf, tableFromRows } from '../tables/rows.ts';
import { duplicateTests } from './duplicateTests.ts';
import type { ScreenColumns, ScreenedNight } from './screened.ts';

type Weighed = {
  test: NormalizedTest;
  outputs: NormalizedOutput[];
  unaccounted: number;
  toleranceFraction: number;
};

const fewestForMedian = 8;
const fewestForHabit = 4;
const farthestFromMedian = 2.2;

/**
 * Sets aside tests that cannot be true, before any money is computed. Tests and outputs keep their rows and order; the
 * tests gain `state` and `reasons`. A loss beyond the tolerance is held only when it is unlike the cutter's own other
 * tests of the item: a lasting one is a habit for the findings to name, not an error.
 */
export const screen = (night: NormalizedNight, chain: Chain): ScreenedNight => {
  const tests = rowsOf<NormalizedTest>(night.tests);
  const linesOf = groupLines(rowsOf<NormalizedOutput>(night.outputs));
  const divisionOf = new Map(night.reference.stores.map((store) => [store.store, store.scaleDivisionKg]));
  const weighed = tests.map((test) =>
    weigh(test, linesOf.get(keyOf(test)) ?? [], divisionOf.get(test.store) ?? 0, chain),
  );
  const pieceMedians = medianBy(
    tests,
    (test) => test.item,
    (test) => test.receivedKg / test.piecesIn,
  );
  const habitMedians = medianBy(
    weighed,
    (w) => cutterItem(w.test),
    (w) => w.unaccounted,
  );
  const duplicates = duplicateTests(tests, linesOf);
  const verdicts = weighed.map((w) => {
    const reasons = [
      ...unknownReasons(w, chain),
      ...weightReasons(w.test, pieceMedians),
      ...(duplicates.has(keyOf(w.test)) ? ['duplicate-test'] : []),
      ...balanceReasons(w, habitMedians, chain.tolerances.unaccounted_error / 100),
    ];
    return {
      ...w.test,
      state: reasons.length > 0 ? 'held' : 'used',
      reasons: reasons.join(';'),
      cause: '',
      causeChance: Number.NaN,
    };
  });
  const names = [
    ...night.tests.columnNames(),
    'state',
    'reasons',
    'cause',
    'causeChance',
  ] as (keyof (NormalizedTest & ScreenColumns))[];
  return { tests: tableFromRows(verdicts, names), outputs: night.outputs };
};

const keyOf = (test: { store: string; testId: string }): string => `${test.store}\u0000${test.testId}`;
const cutterItem = (test: NormalizedTest): string => `${test.cutter}\u0000${test.item}\u0000${test.spec}`;

const groupLines = (outputs: readonly NormalizedOutput[]): Map<string, NormalizedOutput[]> => {
  const groups = new Map<string, NormalizedOutput[]>();
  for (const output of outputs) {
    const lines = groups.get(keyOf(output));
    if (lines === undefined) groups.set(keyOf(output), [output]);
    else lines.push(output);
  }
  return groups;
};

const weigh = (
  test: NormalizedTest,
  outputs: NormalizedOutput[],
  storeDivisionKg: number,
  chain: Chain,
): Weighed => {
  const balance = massBalance({
    ...test,
    outputsKg: outputs.map((line) => line.outputKg),
  });
  const division =
    storeDivisionKg > 0
      ? storeDivisionKg
      : chain.tolerances.scale_division * (chain.unit === 'lb' ? 0.45359237 : 1);
  const readings = outputs.length + 2;
  return {
    test,
    outputs,
    unaccounted: balance.unaccountedKg / balance.drainedKg,
    toleranceFraction: (readings * division) / 2 / balance.drainedKg,
  };
};

const medianBy = <Row>(
  rows: readonly Row[],
  key: (row: Row) => string,
  value: (row: Row) => number,
): Map<string, { median: number; n: number }> => {
  const groups = new Map<string, number[]>();
  for (const row of rows) {
    const found = value(row);
    if (!Number.isFinite(found)) continue;
    const group = groups.get(key(row));
    if (group === undefined) groups.set(key(row), [found]);
    else group.push(found);
  }
  return new Map([...groups].map(([name, values]) => [name, { median: median(values), n: values.length }]));
};

const unknownReasons = ({ test, outputs }: Weighed, chain: Chain): string[] => {
  const method = chain.methods.find((entry) => entry.method === test.method && entry.item === test.item);
  const reasons: string[] = [];
  if (method === undefined) reasons.push('method-unknown');
  if (test.weighed === '' || (test.weighed === 'in-bag' && Number.isNaN(test.purgeKg)))
    reasons.push('purge-unknown');
  const isWeighed = (name: string): boolean =>
    outputs.some((line) => line.output === name && !Number.isNaN(line.outputKg));
  if (method?.main.some((name) => !isWeighed(name)) || outputs.some((line) => Number.isNaN(line.outputKg)))
    reasons.push('line-missing');
  return reasons;
};

const weightReasons = (
  test: NormalizedTest,
  medians: Map<string, { median: number; n: number }>,
): string[] => {
  const usual = medians.get(test.item);
  const pieceKg = test.receivedKg / test.piecesIn;
  if (!(pieceKg > 0)) return ['weight-out-of-range'];
  if (usual === undefined || usual.n < fewestForMedian) return [];
  const ratio = pieceKg / usual.median;
  return ratio > farthestFromMedian || ratio < 1 / farthestFromMedian ? ['weight-out-of-range'] : [];
};

const balanceReasons = (
  w: Weighed,
  habits: Map<string, { median: number; n: number }>,
  errorFraction: number,
): string[] => {
  if (Number.isNaN(w.unaccounted)) return [];
  const isOff =
    w.unaccounted > errorFraction + w.toleranceFraction || w.unaccounted < -w.toleranceFraction - 1e-9;
  if (!isOff) return [];
  const habit = habits.get(cutterItem(w.test));
  const isLasting =
    habit !== undefined &&
    habit.n >= fewestForHabit &&
    Math.abs(habit.median - w.unaccounted) <= errorFraction;
  return isLasting ? [] : ['mass-balance'];
};
