import { quantileSorted } from 'simple-statistics';
import { byFrequency } from '../tables/byFrequency.ts';
import { monthOf, yearsOf } from '../units/calendarDay.ts';
import { naturalSpline, type SplineKnots } from './splines/naturalSpline.ts';

/** What of a test sets its expected yield besides the people and the supplier; one entry a test. */
export type DesignFacts = {
  method: string[];
  grade: string[];
  store: Int32Array;
  pieceKg: Float64Array;
  day: Float64Array;
};

/** A part of the expected yield that is explained by itself. */
export type DesignTerm = 'average' | 'method' | 'grade' | 'weight' | 'season and trend' | 'between stores';

/** Columns of the fixed part, each centered but for the constant, with the term each belongs to. */
export type YieldDesign = {
  columns: Float64Array[];
  terms: DesignTerm[];
  /** What was taken off each column to center it. */
  centers: number[];
  /** Column of each level's 0/1 dummy; -1 = the base, the most frequent level. */
  method: Map<string, number>;
  grade: Map<string, number>;
  spline: { knots: SplineKnots | undefined; first: number; count: number };
};

const fewestForSpline = 60;
const fewestForLine = 12;
const fewestStores = 10;
const shortHistoryMonths = 18;

/**
 * Columns for one item, spec and treatment: constant, method, grade, natural spline of mean piece weight (3 df; a line or
 * nothing with few tests), season and trend from 18 months on (months are random before that), and the store's mean weight and grade shares, so
 * that slopes are those within stores and differences between stores stay with the store (Mundlak 1978 Econometrica 46:69).
 */
export const yieldDesign = (facts: DesignFacts): YieldDesign => {
  const design: YieldDesign = {
    columns: [new Float64Array(facts.day.length).fill(1)],
    terms: ['average'],
    centers: [0],
    method: new Map(),
    grade: new Map(),
    spline: { knots: undefined, first: -1, count: 0 },
  };
  const add = (term: DesignTerm, column: Float64Array): number => {
    const center = column.reduce((sum, value) => sum + value, 0) / column.length;
    design.columns.push(column.map((value) => value - center));
    design.terms.push(term);
    design.centers.push(center);
    return design.columns.length - 1;
  };
  const addLevels = (term: 'method' | 'grade'): void => {
    for (const [place, level] of byFrequency(facts[term]).entries())
      design[term].set(
        level,
        place === 0
          ? -1
          : add(
              term,
              Float64Array.from(facts[term], (name) => (name === level ? 1 : 0)),
            ),
      );
  };
  addLevels('method');
  addLevels('grade');
  const weight = weightColumns(facts.pieceKg);
  const first = design.columns.length;
  for (const column of weight.columns) add('weight', column);
  design.spline = { knots: weight.knots, first, count: weight.columns.length };
  for (const column of seasonColumns(facts.day)) add('season and trend', column);
  for (const column of storeMeans(facts, [...design.grade.values()], design.columns))
    add('between stores', column);
  return design;
};

/** Weight columns at other weights, centered as in the design; for drawing the curve. */
export const weightRow = (design: Pick<YieldDesign, 'centers' | 'spline'>, pieceKg: number): number[] => {
  const { knots, first, count } = design.spline;
  if (count === 0) return [];
  const raw =
    knots === undefined ? [pieceKg] : naturalSpline([pieceKg], knots).map((column) => column[0] as number);
  return raw.map((value, k) => value - (design.centers[first + k] as number));
};

const weightColumns = (
  pieceKg: Float64Array,
): { columns: Float64Array[]; knots: SplineKnots | undefined } => {
  const sorted = [...pieceKg].sort((a, b) => a - b);
  const at = (share: number): number => quantileSorted(sorted, share);
  const marks = [0.02, 1 / 3, 2 / 3, 0.98].map(at) as [number, number, number, number];
  const least = 1e-6 * (marks[3] + 1);
  if (pieceKg.length < fewestForLine || !(marks[3] - marks[0] > least))
    return { columns: [], knots: undefined };
  const isSpread = marks.every((mark, k) => k === 0 || mark - (marks[k - 1] as number) > least);
  if (pieceKg.length < fewestForSpline || !isSpread)
    return { columns: [Float64Array.from(pieceKg)], knots: undefined };
  const knots: SplineKnots = { inner: [marks[1], marks[2]], boundary: [marks[0], marks[3]] };
  return { columns: naturalSpline(pieceKg, knots), knots };
};

/** Calendar months of the tests when the history is too short for a season and a trend, which then cannot be told apart. */
export const monthsOf = (day: Float64Array): Int32Array | undefined => {
  const months = Int32Array.from(day, monthOf);
  const [first, last] = months.reduce(
    ([low, high], month) => [Math.min(low, month), Math.max(high, month)] as [number, number],
    [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY] as [number, number],
  );
  return last - first + 1 < shortHistoryMonths ? months : undefined;
};

const seasonColumns = (day: Float64Array): Float64Array[] => {
  if (monthsOf(day) !== undefined) return [];
  const years = Float64Array.from(day, yearsOf);
  return [
    years.map((value) => Math.sin(2 * Math.PI * value)),
    years.map((value) => Math.cos(2 * Math.PI * value)),
    years,
  ];
};

/** Means by store of the weight and of each grade's share; none with few stores, where they cannot be told from chance. */
const storeMeans = (
  { store, pieceKg }: DesignFacts,
  gradeColumns: readonly number[],
  columns: readonly Float64Array[],
): Float64Array[] => {
  if (new Set(store).size < fewestStores) return [];
  const chosen = [pieceKg, ...gradeColumns.filter((at) => at >= 0).map((at) => columns[at] as Float64Array)];
  return chosen.map((column) => meansBy(column, store)).filter((means) => new Set(means).size > 2);
};

const meansBy = (values: Float64Array, codes: Int32Array): Float64Array => {
  const sums = new Map<number, { sum: number; n: number }>();
  for (const [i, code] of codes.entries()) {
    const own = sums.get(code) ?? { sum: 0, n: 0 };
    sums.set(code, { sum: own.sum + (values[i] as number), n: own.n + 1 });
  }
  return Float64Array.from(codes, (code) => {
    const own = sums.get(code) as { sum: number; n: number };
    return own.sum / own.n;
  });
};
