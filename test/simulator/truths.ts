import { type Outcome, outcomes } from '../../src/catalog/outcomes.ts';
import { kgPerLb } from '../../src/units/weight.ts';
import { classNames, moneyOf, saleableOf } from './compositions.ts';
import type { SimChain, SimTest } from './simulated.ts';

/** True effects of one id on one item by outcome: points; value in currency per kg. `tests`: those behind it. */
export type Truth = { tests: number; effects: Record<Outcome, number> };

/** True mean effects by `cutter item`, over the cutter's tests, and by `store item`: what was really moved, after floors. */
export const truthsOf = (sim: SimChain): { cutters: Map<string, Truth>; stores: Map<string, Truth> } => ({
  cutters: cutterMeans(sim.tests),
  stores: meansOf(sim.tests, (test) => [`${test.store.store} ${test.item.item}`, test.storeShift]),
});

/** As `truthsOf`, but of each cutter's present level: over the tests since the cutter changed or was coached, where there are any. */
export const presentTruthsOf = (sim: SimChain): Map<string, Truth> =>
  new Map([...cutterMeans(sim.tests), ...cutterMeans(sim.tests.filter(isOfPresentLevel))]);

const isOfPresentLevel = ({ cutter, item, day }: SimTest): boolean => {
  const { drift, coached } = cutter;
  const isCoachedOn = coached !== undefined && (coached.item === '' || coached.item === item.item);
  return day >= (drift?.day ?? day) && (!isCoachedOn || day > coached.day);
};

const cutterMeans = (tests: readonly SimTest[]): Map<string, Truth> =>
  meansOf(tests, (test) => [`${test.cutter.cutter} ${test.item.item}`, test.cutterShift]);

const meansOf = (
  tests: readonly SimTest[],
  moved: (test: SimTest) => [string, Float64Array],
): Map<string, Truth> => {
  const sums = new Map<string, { tests: number; shift: Float64Array }>();
  for (const test of tests) {
    const [key, shift] = moved(test);
    const sum = sums.get(key) ?? { tests: 0, shift: new Float64Array(classNames.length) };
    sums.set(key, { tests: sum.tests + 1, shift: sum.shift.map((value, k) => value + (shift[k] as number)) });
  }
  return new Map(
    [...sums].map(([key, { tests: count, shift }]) => [
      key,
      { tests: count, effects: effectsOf(shift.map((value) => value / count)) },
    ]),
  );
};

/** All outcomes of one shift by class. */
export const effectsOf = (shift: ArrayLike<number>): Record<Outcome, number> =>
  Object.fromEntries(
    outcomes.map((outcome) => {
      if (outcome === 'saleable') return [outcome, saleableOf(shift)];
      if (outcome === 'value') return [outcome, moneyOf(shift) / kgPerLb];
      return [outcome, shift[classNames.indexOf(outcome)] as number];
    }),
  ) as Record<Outcome, number>;
