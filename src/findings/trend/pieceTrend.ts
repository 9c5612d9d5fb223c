import type { MeasuredTest } from '../../measure/measured.ts';
import { leastSquares } from '../../tables/leastSquares.ts';

/** How the weight of the pieces moves over time: share a year with its SD (stores as clusters), and the weights at both ends, kg. */
export type PieceTrend = {
  perYear: number;
  sd: number;
  fromKg: number;
  toKg: number;
  firstDay: number;
  lastDay: number;
  tests: number;
  stores: number;
};

const daysPerYear = 365.25;
const fewestTests = 30;
const fewestDays = 300;
const fewestStores = 3;

/**
 * Trend of log mean piece weight within store, supplier and grade, so that neither another mix of stores nor a change of
 * supplier or grade passes for heavier animals. Undefined below 30 tests, 3 stores or 300 days, as half a year's season would
 * pass for a trend. Below 18 months season and trend cannot be told apart; the caller says so.
 */
export const pieceTrend = (tests: readonly MeasuredTest[]): PieceTrend | undefined => {
  const own = tests.filter((test) => test.meanPieceKg > 0);
  const days = own.map((test) => test.cutDay);
  const firstDay = days.reduce((least, day) => Math.min(least, day), Number.POSITIVE_INFINITY);
  const lastDay = days.reduce((most, day) => Math.max(most, day), Number.NEGATIVE_INFINITY);
  const storeCodes = coded(own.map((test) => test.store));
  const stores = new Set(storeCodes).size;
  if (own.length < fewestTests || stores < fewestStores || lastDay - firstDay < fewestDays) return undefined;
  const group = coded(own.map((test) => [test.store, test.supplier, test.grade].join('\u0000')));
  const years = days.map((day) => (day - firstDay) / daysPerYear);
  const logs = own.map((test) => Math.log(test.meanPieceKg));
  const fit = leastSquares(
    withinGroups(years, group).map((value) => [value]),
    withinGroups(logs, group),
    storeCodes,
  );
  const perYear = fit.coefficients[0] as number;
  const sd = Math.sqrt(fit.covariance[0] as number);
  if (fit.dropped[0] === true || !(sd > 0)) return undefined;
  const middle = mean(logs);
  const at = (day: number): number =>
    Math.exp(middle + perYear * ((day - firstDay) / daysPerYear - mean(years)));
  return {
    perYear,
    sd,
    fromKg: at(firstDay),
    toKg: at(lastDay),
    firstDay,
    lastDay,
    tests: own.length,
    stores,
  };
};

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

const coded = (names: readonly string[]): number[] => {
  const codeOf = new Map<string, number>();
  return names.map((name) => {
    const code = codeOf.get(name) ?? codeOf.size;
    codeOf.set(name, code);
    return code;
  });
};

/** Values less the mean of their group. */
const withinGroups = (values: readonly number[], group: readonly number[]): number[] => {
  const sums: { sum: number; n: number }[] = [];
  for (const [i, code] of group.entries()) {
    sums[code] ??= { sum: 0, n: 0 };
    const own = sums[code] as { sum: number; n: number };
    own.sum += values[i] as number;
    own.n++;
  }
  return values.map((value, i) => {
    const { sum, n } = sums[group[i] as number] as { sum: number; n: number };
    return value - sum / n;
  });
};
