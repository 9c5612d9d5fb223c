import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import { codesOf } from '../../tables/columns.ts';
import { groupedBy } from '../../tables/groupedBy.ts';

/** Classes whose shares are compared, of drained weight. */
const shareNames = [
  'mainCutYield',
  'otherCutYield',
  'leanTrimYield',
  'fatYield',
  'boneYield',
  'wasteYield',
] as const satisfies readonly (keyof MeasuredTest)[];

/** One sheet as the screen for weights that were not weighed sees it: shares and loss in points, lines as sent. */
export type Sheet = {
  test: MeasuredTest;
  cutter: number;
  store: number;
  /** Item, spec, treatment and method: what is compared with what. */
  kind: number;
  shares: number[];
  unaccounted: number;
  /** Weights of the lines as sent, in the sender's unit, none of 0. */
  lines: number[];
};
export type Sheets = {
  sheets: Sheet[];
  cutters: string[];
  stores: string[];
  /** Unit of most sheets of each store. */
  units: string[];
  /** Places of each cutter's sheets by day. */
  ofCutter: number[][];
};

/** Sheets of all tests with known shares, held ones too (a copy is often held), in order of day, store and test. */
export const sheetsOf = (tests: readonly MeasuredTest[], outputs: readonly MeasuredOutput[]): Sheets => {
  const linesOf = new Map<string, number[]>();
  for (const line of outputs) {
    if (!(line.weightAsSent > 0)) continue;
    const key = `${line.store}\u0000${line.testId}`;
    const own = linesOf.get(key);
    if (own === undefined) linesOf.set(key, [line.weightAsSent]);
    else own.push(line.weightAsSent);
  }
  const known = tests
    .filter((test) => Number.isFinite(test.unaccountedYield) && Number.isFinite(test.mainCutYield))
    .sort((a, b) => a.cutDay - b.cutDay);
  const cutter = codesOf(known.map((test) => test.cutter));
  const store = codesOf(known.map((test) => test.store));
  const units = store.levels.map((_, code) => commonest(known.filter((__, i) => store.codes[i] === code)));
  const kind = codesOf(
    known.map((test) => [test.item, test.spec, test.treatment, test.method].join('\u0000')),
  );
  const ofCutter: number[][] = cutter.levels.map(() => []);
  const sheets = known.map((test, i): Sheet => {
    (ofCutter[cutter.codes[i] as number] as number[]).push(i);
    return {
      test,
      cutter: cutter.codes[i] as number,
      store: store.codes[i] as number,
      kind: kind.codes[i] as number,
      shares: shareNames.map((name) => 100 * test[name]),
      unaccounted: 100 * test.unaccountedYield,
      lines: linesOf.get(`${test.store}\u0000${test.testId}`) ?? [],
    };
  });
  return { sheets, cutters: cutter.levels, stores: store.levels, units, ofCutter };
};

const commonest = (tests: readonly MeasuredTest[]): string =>
  [...groupedBy(tests, (test) => test.unit)].reduce(
    (most, one) => (one[1].length > most[1].length ? one : most),
    ['', []] as [string, MeasuredTest[]],
  )[0];
