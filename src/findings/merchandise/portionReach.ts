import type { Chain } from '../../catalog/chain.ts';
import { leastSquares } from '../../tables/leastSquares.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { countedTests } from '../../units/counted.ts';
import { kilogramsPer } from '../../units/weight.ts';
import { type PortionInput, portionSpec } from './portionRows.ts';

/**
 * Which portions a weight range allows: what a piece weighs at the thickness asked for, and how thick it is at the weight
 * asked for. kg and inches; interval 95 %; `missing` says why there is no answer.
 */
export type PortionReachRow = {
  item: string;
  spec: string;
  output: string;
  weightClass: string;
  tests: number;
  pieceKg: number;
  thicknessIn: number;
  weightAtThicknessKg: number;
  low: number;
  high: number;
  weightKg: number;
  thicknessAtWeightIn: number;
  missing: string;
};

const fewestTests = 8;
/** One test seen: mean piece weight as bought and weight per inch of its portions. */
type Sliced = { weightClass: string; meanPieceKg: number; kgPerInch: number };

/** By output with a portion spec and by weight range, from a line of weight per inch over piece weight; only where 8 tests were sliced. */
export const portionReach = (input: PortionInput): PortionReachRow[] => {
  const { chain } = input;
  return chain.items.flatMap((entry) =>
    entry.portions.flatMap(({ output }) => {
      const name = { item: entry.item, spec: entry.spec, output };
      const sliced = slicedTests(input, name);
      return entry.weight_classes.map((range) =>
        reachRow({ ...name, weightClass: range.name }, sliced, chain),
      );
    }),
  );
};

const slicedTests = (
  { portions, used }: PortionInput,
  name: { item: string; spec: string; output: string },
): Sliced[] => {
  const own = new Map<string, { kg: number; inches: number }>();
  for (const portion of portions) {
    if (portion.output !== name.output || !(portion.thicknessIn > 0)) continue;
    const key = `${portion.store}\u0000${portion.testId}`;
    const sum = own.get(key) ?? { kg: 0, inches: 0 };
    own.set(key, { kg: sum.kg + portion.weightKg, inches: sum.inches + portion.thicknessIn });
  }
  return used.flatMap((test) => {
    const sum = own.get(`${test.store}\u0000${test.testId}`);
    return sum === undefined || test.item !== name.item || test.spec !== name.spec
      ? []
      : [{ weightClass: test.weightClass, meanPieceKg: test.meanPieceKg, kgPerInch: sum.kg / sum.inches }];
  });
};

const reachRow = (
  name: Pick<PortionReachRow, 'item' | 'spec' | 'output' | 'weightClass'>,
  sliced: readonly Sliced[],
  chain: Chain,
): PortionReachRow => {
  const target = portionSpec(chain, name);
  const weightKg = (target?.weight ?? Number.NaN) * kilogramsPer(chain.unit);
  const thicknessIn = target?.thickness_in ?? Number.NaN;
  const inRange = sliced.filter((test) => test.weightClass === name.weightClass);
  const missing =
    sliced.length < fewestTests
      ? `${countedTests(sliced.length)} with thickness; ${fewestTests} are needed`
      : inRange.length === 0
        ? 'no piece of this range was sliced and measured'
        : '';
  const about = { ...name, tests: inRange.length, thicknessIn, weightKg, missing };
  if (missing !== '')
    return {
      ...about,
      pieceKg: Number.NaN,
      weightAtThicknessKg: Number.NaN,
      low: Number.NaN,
      high: Number.NaN,
      thicknessAtWeightIn: Number.NaN,
    };
  const pieceKg = inRange.reduce((sum, test) => sum + test.meanPieceKg, 0) / inRange.length;
  const fit = leastSquares(
    sliced.map((test) => [1, test.meanPieceKg - pieceKg]),
    sliced.map((test) => test.kgPerInch),
    sliced.map((_, i) => i),
  );
  const perInch = fit.coefficients[0] as number;
  const reach = z975 * Math.sqrt(fit.covariance[0] as number);
  return {
    ...about,
    pieceKg,
    weightAtThicknessKg: perInch * thicknessIn,
    low: (perInch - reach) * thicknessIn,
    high: (perInch + reach) * thicknessIn,
    thicknessAtWeightIn: weightKg / perInch,
  };
};
