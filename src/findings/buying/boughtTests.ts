import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import { byFrequency } from '../../tables/byFrequency.ts';
import { type RatioEstimate, ratioEstimate } from '../../tables/ratioEstimate.ts';

/** Fewest tests behind any figure that a buyer reads. */
export const fewestTests = 8;

/** Tests of one item, spec and treatment with their lines at the chain's regular list; the method is the one most used. */
export type BoughtTests = {
  tests: MeasuredTest[];
  ofMethod: MeasuredTest[];
  method: string;
  /** Money of what is sold but not saleable, per drained kg, of the method most used. */
  credit: number;
  /** Saleable outputs of that method without a regular price. */
  unpriced: string[];
};

/** The key of a test within the chain. */
export const testKey = (test: { store: string; testId: string }): string =>
  `${test.store}\u0000${test.testId}`;

/** True for the state of pieces bought fresh: treatment not given or plain. Frozen pieces are tested as `thawed`. */
const isTreatedAs = (state: string, treatment: string): boolean =>
  state === 'frozen' ? treatment === 'thawed' : treatment === '' || treatment === 'plain';

/** Tests that say what a quote of this item, spec and state will give. */
export const boughtTests = (
  used: readonly MeasuredTest[],
  linesOf: ReadonlyMap<string, readonly MeasuredOutput[]>,
  bought: { item: string; spec: string; state: string },
  chain: Chain,
): BoughtTests => {
  const tests = used.filter(
    (test) =>
      test.item === bought.item && test.spec === bought.spec && isTreatedAs(bought.state, test.treatment),
  );
  const method = byFrequency(tests.map((test) => test.method))[0] ?? '';
  const leanPoint = new Map(chain.outputs.map((entry) => [entry.output, entry.lean_point]));
  const isSaleable = (line: MeasuredOutput): boolean =>
    line.outputClass === 'main cut' ||
    line.outputClass === 'other cut' ||
    (line.outputClass === 'lean trim' &&
      !((leanPoint.get(line.output) ?? Number.NaN) < chain.lean_trim_floor));
  const ofMethod = tests.filter((test) => test.method === method);
  const weighed = ofMethod.filter((test) => Number.isFinite(test.drainedKg));
  const unpriced = new Set<string>();
  const creditOf = (test: MeasuredTest): number => {
    let credit = 0;
    for (const line of linesOf.get(testKey(test)) ?? [])
      if (line.outputKg > 0 && !isSaleable(line) && line.regularPricePerKg > 0)
        credit += line.outputKg * line.regularPricePerKg;
    return credit;
  };
  for (const test of ofMethod)
    for (const line of linesOf.get(testKey(test)) ?? [])
      if (line.outputKg > 0 && isSaleable(line) && Number.isNaN(line.regularPricePerKg))
        unpriced.add(line.output);
  const kg = weighed.reduce((sum, test) => sum + test.drainedKg, 0);
  return {
    tests,
    ofMethod,
    method,
    credit: weighed.reduce((sum, test) => sum + creditOf(test), 0) / kg,
    unpriced: [...unpriced].sort(),
  };
};

/** An estimate with the ring of tests it is from: the narrowest with at least 8. */
export type Ringed = RatioEstimate & { ring: string };

/** Ratio of sums over the narrowest ring with at least 8 tests where both are known; value NaN when no ring has. */
export const ringed = (
  rings: readonly (readonly [name: string, tests: () => readonly MeasuredTest[]])[],
  part: (test: MeasuredTest) => number,
  whole: (test: MeasuredTest) => number,
): Ringed => {
  for (const [ring, testsOf] of rings) {
    const tests = testsOf();
    const found = ratioEstimate(tests.map(part), tests.map(whole));
    if (found.tests >= fewestTests) return { ...found, ring };
  }
  return { value: Number.NaN, sd: Number.NaN, tests: 0, ring: '' };
};
