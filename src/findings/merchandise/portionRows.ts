import type { Chain, PortionSpec } from '../../catalog/chain.ts';
import { itemEntry } from '../../catalog/itemEntry.ts';
import { thicknessTolerance, weightTolerance } from '../../catalog/portionTolerance.ts';
import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import type { NormalizedPortion } from '../../normalize/normalized.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { leastSquares } from '../../tables/leastSquares.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { countedTests } from '../../units/counted.ts';
import { kilogramsPer } from '../../units/weight.ts';

/**
 * How the portions of one output came out, over all cutters (cutter '') or of one. Weights kg a piece, shares 0-1 of the
 * pieces, money a piece at the regular list. NaN where not known; `missing` says what an answer lacks.
 */
export type PortionRow = {
  item: string;
  spec: string;
  output: string;
  cutter: string;
  pieces: number;
  tests: number;
  targetKg: number;
  toleranceKg: number;
  toleranceSource: string;
  meanKg: number;
  low: number;
  high: number;
  sdKg: number;
  /** Spread of the pieces of one test: how even a cutter's portions are. */
  withinTestSdKg: number;
  under: number;
  over: number;
  /** Weight above target a piece, and its money: given away where the portion is sold by the piece. */
  giveawayKg: number;
  giveawayMoney: number;
  targetIn: number;
  meanIn: number;
  thin: number;
  thick: number;
  missing: string;
};

export type PortionInput = {
  portions: readonly NormalizedPortion[];
  used: readonly MeasuredTest[];
  outputs: readonly MeasuredOutput[];
  chain: Chain;
};
type Piece = NormalizedPortion & { test: MeasuredTest; pricePerKg: number };

const fewestPieces = 20;
const fewestTests = 3;

/** Portions against their spec, by item and output and then by cutter. Pieces of tests not used are left out. */
export const portionRows = (input: PortionInput): PortionRow[] => {
  const groups = groupedBy(pieces(input), (piece) =>
    [piece.test.item, piece.test.spec, piece.output].join('\u0000'),
  );
  return [...groups.keys()].sort().flatMap((key) => {
    const own = groups.get(key) as Piece[];
    const [item, spec, output] = key.split('\u0000') as [string, string, string];
    const target = portionSpec(input.chain, { item, spec, output });
    const byCutter = groupedBy(own, (piece) => piece.test.cutter);
    const row = (cutter: string, from: readonly Piece[]): PortionRow =>
      portionRow({ item, spec, output, cutter }, from, target, input.chain);
    return [
      row('', own),
      ...[...byCutter.keys()].sort().map((cutter) => row(cutter, byCutter.get(cutter) as Piece[])),
    ];
  });
};

const pieces = ({ portions, used, outputs }: PortionInput): Piece[] => {
  const key = (row: { store: string; testId: string }): string => `${row.store}\u0000${row.testId}`;
  const testOf = new Map(used.map((test) => [key(test), test]));
  const priceOf = new Map(
    outputs.map((line) => [`${key(line)}\u0000${line.output}`, line.regularPricePerKg]),
  );
  return portions.flatMap((portion) => {
    const test = testOf.get(key(portion));
    const pricePerKg = priceOf.get(`${key(portion)}\u0000${portion.output}`) ?? Number.NaN;
    return test === undefined ? [] : [{ ...portion, test, pricePerKg }];
  });
};

/** The portion spec of an output in the chain file, weights in the chain's unit; undefined when it has none. */
export const portionSpec = (
  chain: Chain,
  name: { item: string; spec: string; output: string },
): PortionSpec | undefined =>
  itemEntry(chain, name)?.portions.find((portion) => portion.output === name.output);

const mean = (values: readonly number[]): number =>
  values.length === 0 ? Number.NaN : values.reduce((sum, value) => sum + value, 0) / values.length;
const shareOf = (values: readonly number[], is: (value: number) => boolean): number =>
  values.length === 0 ? Number.NaN : values.filter(is).length / values.length;
/** A scale division or the rounding of a sheet does not put a piece out of tolerance. */
const slack = 1e-9;

const portionRow = (
  name: Pick<PortionRow, 'item' | 'spec' | 'output' | 'cutter'>,
  own: readonly Piece[],
  target: PortionSpec | undefined,
  chain: Chain,
): PortionRow => {
  const unitKg = kilogramsPer(chain.unit);
  const targetKg = (target?.weight ?? Number.NaN) * unitKg;
  const tolerance = weightTolerance(targetKg, (target?.tolerance ?? Number.NaN) * unitKg);
  const weights = own.map((piece) => piece.weightKg);
  const byTest = groupedBy(own, (piece) => piece.test);
  const codeOf = new Map([...byTest.keys()].map((test, code) => [test, code]));
  const fit = leastSquares(
    own.map(() => [1]),
    weights,
    own.map((piece) => codeOf.get(piece.test) as number),
  );
  const reach = byTest.size > 1 ? z975 * Math.sqrt(fit.covariance[0] as number) : Number.NaN;
  const above = weights.map((weight) => Math.max(0, weight - targetKg));
  const prices = own.map((piece) => piece.pricePerKg);
  const hasTarget = Number.isFinite(targetKg);
  return {
    ...name,
    pieces: own.length,
    tests: byTest.size,
    targetKg,
    toleranceKg: hasTarget ? tolerance.plusMinus : Number.NaN,
    toleranceSource: hasTarget ? tolerance.source : '',
    meanKg: fit.coefficients[0] as number,
    low: (fit.coefficients[0] as number) - reach,
    high: (fit.coefficients[0] as number) + reach,
    sdKg: own.length > 1 ? Math.sqrt(squares(fit.residuals) / (own.length - 1)) : Number.NaN,
    withinTestSdKg: withinSd([...byTest.values()]),
    under: hasTarget
      ? shareOf(weights, (weight) => weight < targetKg - tolerance.plusMinus - slack)
      : Number.NaN,
    over: hasTarget
      ? shareOf(weights, (weight) => weight > targetKg + tolerance.plusMinus + slack)
      : Number.NaN,
    giveawayKg: hasTarget ? mean(above) : Number.NaN,
    giveawayMoney: hasTarget ? mean(above.map((kg, i) => kg * (prices[i] as number))) : Number.NaN,
    ...thickness(own, target?.thickness_in ?? Number.NaN),
    missing: missingOf(own.length, byTest.size, hasTarget),
  };
};

const squares = (values: readonly number[]): number => values.reduce((sum, value) => sum + value ** 2, 0);

const missingOf = (pieceCount: number, testCount: number, hasTarget: boolean): string => {
  if (!hasTarget) return 'no portion weight is set for this output';
  if (pieceCount < fewestPieces) return `${pieceCount} pieces; ${fewestPieces} are needed`;
  return testCount < fewestTests ? `pieces of ${countedTests(testCount)}; ${fewestTests} are needed` : '';
};

/** Pooled standard deviation within tests; NaN when no test has two pieces. */
const withinSd = (tests: readonly (readonly Piece[])[]): number => {
  let sum = 0;
  let free = 0;
  for (const own of tests) {
    const weights = own.map((piece) => piece.weightKg);
    const middle = mean(weights);
    sum += squares(weights.map((weight) => weight - middle));
    free += weights.length - 1;
  }
  return free > 0 ? Math.sqrt(sum / free) : Number.NaN;
};

const thickness = (
  own: readonly Piece[],
  targetIn: number,
): Pick<PortionRow, 'targetIn' | 'meanIn' | 'thin' | 'thick'> => {
  const measured = own.map((piece) => piece.thicknessIn).filter(Number.isFinite);
  const { plusMinus } = thicknessTolerance(targetIn);
  const hasTarget = Number.isFinite(targetIn);
  return {
    targetIn,
    meanIn: mean(measured),
    thin: hasTarget ? shareOf(measured, (inches) => inches < targetIn - plusMinus - slack) : Number.NaN,
    thick: hasTarget ? shareOf(measured, (inches) => inches > targetIn + plusMinus + slack) : Number.NaN,
  };
};
