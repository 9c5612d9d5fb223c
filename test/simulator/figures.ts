/**
 * One figure of one seed as a sum over its cases: `top / bottom` is the mean over all seeds together; `root` takes the
 * square root of it (RMSE); `largest` keeps the largest `top`. A figure with no case has bottom 0.
 */
export type Figure = { top: number; bottom: number; form?: 'root' | 'largest' };
export type Figures = Record<string, Figure>;

/** A figure over all seeds with its standard error over seeds (NaN with one seed) and the number of cases. */
export type Summary = { value: number; standardError: number; cases: number };

export const share = <Case>(cases: readonly Case[], is: (one: Case) => boolean): Figure => ({
  top: cases.reduce((count, one) => count + (is(one) ? 1 : 0), 0),
  bottom: cases.length,
});
export const meanOf = <Case>(cases: readonly Case[], value: (one: Case) => number): Figure => ({
  top: cases.reduce((sum, one) => sum + value(one), 0),
  bottom: cases.length,
});
export const rootMeanSquare = <Case>(cases: readonly Case[], value: (one: Case) => number): Figure => ({
  ...meanOf(cases, (one) => value(one) ** 2),
  form: 'root',
});
export const largest = <Case>(cases: readonly Case[], value: (one: Case) => number): Figure => ({
  top: cases.reduce((most, one) => Math.max(most, value(one)), 0),
  bottom: cases.length,
  form: 'largest',
});
/** So many events over so many units, such as alarms over cutter-months. */
export const rate = (events: number, units: number): Figure => ({ top: events, bottom: units });

/** The figure over all seeds; standard error of a ratio of sums over seeds (Cochran 1977, Sampling Techniques, ch. 6). */
export const summaryOf = (seeds: readonly Figure[]): Summary => {
  const used = seeds.filter(({ bottom }) => bottom > 0);
  const cases = used.reduce((sum, { bottom }) => sum + bottom, 0);
  if (used[0] === undefined) return { value: Number.NaN, standardError: Number.NaN, cases };
  if (used[0].form === 'largest')
    return {
      value: used.reduce((most, { top }) => Math.max(most, top), 0),
      standardError: Number.NaN,
      cases,
    };
  const ratio = used.reduce((sum, { top }) => sum + top, 0) / cases;
  const n = used.length;
  const squares = used.reduce((sum, { top, bottom }) => sum + (top - ratio * bottom) ** 2, 0);
  const standardError = n > 1 ? Math.sqrt((n / (n - 1)) * squares) / cases : Number.NaN;
  if (used[0].form !== 'root') return { value: ratio, standardError, cases };
  const root = Math.sqrt(ratio);
  return { value: root, standardError: standardError / (2 * root), cases };
};

/** Spearman's rank correlation (average ranks for ties), as a figure of one case. */
export const spearman = <Case>(
  cases: readonly Case[],
  one: (own: Case) => number,
  other: (own: Case) => number,
): Figure => {
  const [a, b] = [ranksOf(cases.map(one)), ranksOf(cases.map(other))];
  const center = (cases.length - 1) / 2;
  let [ab, aa, bb] = [0, 0, 0];
  for (const [i, rank] of a.entries()) {
    const [x, y] = [rank - center, (b[i] as number) - center];
    ab += x * y;
    aa += x * x;
    bb += y * y;
  }
  return { top: ab / Math.sqrt(aa * bb), bottom: cases.length > 1 ? 1 : 0 };
};

const ranksOf = (values: readonly number[]): number[] => {
  const order = [...values.keys()].sort((i, j) => (values[i] as number) - (values[j] as number));
  const ranks = new Array<number>(values.length);
  for (let from = 0; from < order.length; ) {
    let to = from;
    while (to + 1 < order.length && values[order[to + 1] as number] === values[order[from] as number]) to++;
    for (let k = from; k <= to; k++) ranks[order[k] as number] = (from + to) / 2;
    from = to + 1;
  }
  return ranks;
};
