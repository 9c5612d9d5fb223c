import { codesOf } from '../tables/columns.ts';
import { monthOf } from '../units/calendarDay.ts';
import { expectedYields } from './expectedYields.ts';
import { madScale } from './robust/huberWeights.ts';
import { codesOrMissing, nul, type TestFacts } from './testFacts.ts';
import { type FitAll, type YieldFit, type YieldProblem, yieldFit } from './yieldFit.ts';

const fewestToFit = 40;

/** Tests of one item, spec and treatment and how they were fitted; undefined fit = too few tests, means of cells instead. */
export type YieldGroup = { rows: number[]; problem: YieldProblem; fit: YieldFit | undefined };

/** A lot where lots hold 2 tests or more in the mean, else the supplier's month; -1 where the supplier is not known. */
const deliveryCodes = (facts: TestFacts): Int32Array => {
  const lots = codesOrMissing(
    facts.join('supplier', 'lot').map((key) => (key.startsWith(nul) || key.endsWith(nul) ? '' : key)),
  );
  const tested = lots.codes.filter((code) => code >= 0).length;
  if (lots.levels.length > 0 && tested >= 2 * lots.levels.length) return lots.codes;
  const supplier = facts.text('supplier');
  const day = facts.number('cutDay');
  return codesOrMissing(
    supplier.map((name, i) => (name === '' ? '' : `${name}${nul}${monthOf(day[i] as number)}`)),
  ).codes;
};

/** The delivery of each of n tests; -1 where it is not known. */
export const deliveriesOf = (groups: readonly YieldGroup[], n: number): Int32Array => {
  const codes = new Int32Array(n).fill(-1);
  for (const { rows, problem } of groups)
    for (const [place, i] of rows.entries()) codes[i] = problem.delivery[place] as number;
  return codes;
};

/** Fits every item, spec and treatment; supplier codes -1 = not known. */
export const fitGroups = async (
  facts: TestFacts,
  supplier: Int32Array,
  fitAll: FitAll,
): Promise<YieldGroup[]> => {
  const { codes, levels } = codesOf(facts.join('item', 'spec', 'treatment'));
  const members: number[][] = levels.map(() => []);
  for (const [i, code] of codes.entries()) (members[code] as number[]).push(i);
  const columns = {
    method: facts.text('method'),
    grade: facts.text('grade'),
    weightClass: facts.text('weightClass'),
    cutter: codesOf(facts.text('cutter')).codes,
    store: codesOf(facts.text('store')).codes,
    delivery: deliveryCodes(facts),
    pieceKg: facts.number('meanPieceKg'),
    day: facts.number('cutDay'),
    pieces: facts.number('piecesIn'),
  };
  const problems = members.map((rows): YieldProblem => {
    const texts = (values: readonly string[]): string[] => rows.map((i) => values[i] as string);
    const numbers = (values: Float64Array): Float64Array =>
      Float64Array.from(rows, (i) => values[i] as number);
    const integers = (values: Int32Array): Int32Array => Int32Array.from(rows, (i) => values[i] as number);
    return {
      method: texts(columns.method),
      grade: texts(columns.grade),
      cutter: integers(columns.cutter),
      store: integers(columns.store),
      supplier: integers(supplier),
      delivery: integers(columns.delivery),
      pieceKg: numbers(columns.pieceKg),
      day: numbers(columns.day),
      pieces: numbers(columns.pieces),
      actual: facts.actual.map(numbers),
    };
  });
  const isLarge = members.map((rows) => rows.length >= fewestToFit);
  const fits = await fitAll(
    problems.filter((_, g) => isLarge[g]),
    yieldFit,
  );
  let next = 0;
  return members.map((rows, g) => ({
    rows,
    problem: problems[g] as YieldProblem,
    fit: isLarge[g] === true ? fits[next++] : undefined,
  }));
};

/** Writes a group's expectations and SDs to the night's columns (preallocated). */
export const fillGroup = (
  { rows, problem, fit }: YieldGroup,
  out: { expected: Float64Array[]; sd: Float64Array[] },
): void => {
  const expected =
    fit?.expected ??
    expectedYields(problem.actual, {
      group: rows.map(() => ''),
      method: problem.method,
      grade: problem.grade,
      weightClass: rows.map(() => ''),
    }).expected;
  for (const [k, values] of expected.entries()) {
    const sd = fit?.sd[k] ?? cellSd(problem.actual[k] as Float64Array, values);
    for (const [place, i] of rows.entries()) {
      (out.expected[k] as Float64Array)[i] = values[place] as number;
      (out.sd[k] as Float64Array)[i] = sd[place] as number;
    }
  }
};

/** One SD for the tests of a small group: of their residuals, robust; the plain SD where more than half are alike. */
const cellSd = (actual: Float64Array, expected: Float64Array): Float64Array => {
  const residual = [...actual].map((value, i) => value - (expected[i] as number));
  const robust = madScale(residual);
  const plain = Math.sqrt(residual.reduce((sum, value) => sum + value * value, 0) / residual.length);
  return new Float64Array(actual.length).fill(robust > 1e-9 ? robust : plain > 1e-9 ? plain : 0);
};
