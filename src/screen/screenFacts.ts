import type { Chain } from '../catalog/chain.ts';
import { massBalance } from '../money/massBalance.ts';
import type { NormalizedNight } from '../normalize/normalized.ts';
import { codesOf, numbersOf, textsOf } from '../tables/columns.ts';
import { groupedRows, matchedRows } from '../tables/groupedRows.ts';
import { kilogramsPer } from '../units/weight.ts';

export type Coded = { codes: Int32Array; levels: string[] };

/** The night by column, one entry a test in the table's order; lines grouped by test. Weights kg, missing NaN. */
export type ScreenFacts = {
  n: number;
  store: Coded;
  item: Coded;
  /** Method within item. */
  method: Coded;
  /** Cutter, item and spec: whose habit a lasting loss would be. */
  habit: Coded;
  weighed: string[];
  receivedKg: Float64Array;
  purgeKg: Float64Array;
  pieces: Float64Array;
  cutDay: Float64Array;
  /** Lines of test i are lineStart[i] .. lineStart[i + 1] - 1. */
  lineStart: Int32Array;
  lineKg: Float64Array;
  lineOutput: Coded;
  /** Unaccounted share of drained weight, and what the rounding of the store's scale may do to it. */
  unaccounted: Float64Array;
  rounding: Float64Array;
};

/** The night's tables by column, with each test's balance at its store's scale division (the chain's where none is known). */
export const screenFacts = ({ tests, outputs, reference }: NormalizedNight, chain: Chain): ScreenFacts => {
  const text = (name: string): string[] => textsOf(tests, name);
  const stores = text('store');
  const item = text('item');
  const methods = text('method');
  const spec = text('spec');
  const n = stores.length;
  const testOf = matchedRows(
    [textsOf(outputs, 'store'), textsOf(outputs, 'testId')],
    [stores, text('testId')],
  );
  const { start, rows } = groupedRows(testOf, n);
  const kg = numbersOf(outputs, 'outputKg');
  const names = codesOf(textsOf(outputs, 'output'));
  const facts = {
    n,
    store: codesOf(stores),
    item: codesOf(item),
    method: codesOf(item.map((name, i) => `${name}\u0000${methods[i]}`)),
    habit: codesOf(text('cutter').map((cutter, i) => `${cutter}\u0000${item[i]}\u0000${spec[i]}`)),
    weighed: text('weighed'),
    receivedKg: numbersOf(tests, 'receivedKg'),
    purgeKg: numbersOf(tests, 'purgeKg'),
    pieces: numbersOf(tests, 'piecesIn'),
    cutDay: numbersOf(tests, 'cutDay'),
    lineStart: start,
    lineKg: Float64Array.from(rows, (row) => kg[row] as number),
    lineOutput: { codes: Int32Array.from(rows, (row) => names.codes[row] as number), levels: names.levels },
  };
  const own = new Map(reference.stores.map((row) => [row.store, row.scaleDivisionKg]));
  const usual = chain.tolerances.scale_division * kilogramsPer(chain.unit);
  const divisions = facts.store.levels.map((store) => {
    const found = own.get(store) ?? 0;
    return found > 0 ? found : usual;
  });
  return { ...facts, ...balances(facts, numbersOf(tests, 'addedKg'), divisions) };
};

const balances = (
  facts: Omit<ScreenFacts, 'unaccounted' | 'rounding'>,
  addedKg: Float64Array,
  divisions: readonly number[],
): Pick<ScreenFacts, 'unaccounted' | 'rounding'> => {
  const unaccounted = new Float64Array(facts.n);
  const rounding = new Float64Array(facts.n);
  for (let i = 0; i < facts.n; i++) {
    const [from, to] = [facts.lineStart[i] as number, facts.lineStart[i + 1] as number];
    const balance = massBalance({
      billedKg: Number.NaN,
      receivedKg: facts.receivedKg[i] as number,
      weighed: facts.weighed[i] as string,
      purgeKg: facts.purgeKg[i] as number,
      addedKg: addedKg[i] as number,
      outputsKg: facts.lineKg.subarray(from, to),
    });
    unaccounted[i] = balance.unaccountedKg / balance.drainedKg;
    // every reading is off by half a division at most
    const readings = to - from + 2;
    rounding[i] = (readings * (divisions[facts.store.codes[i] as number] as number)) / 2 / balance.drainedKg;
  }
  return { unaccounted, rounding };
};
