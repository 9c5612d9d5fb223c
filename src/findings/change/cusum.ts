/** slack k: half the shift to be found, in SDs. limit h: alarm beyond it. headStart: first sums as a share of h (0.5 = fast initial response; 0). */
export type CusumOptions = { slack: number; limit: number; headStart?: number };

/** First alarm: its place, the place of the first value after the last zero of the sum, 1 (up) or -1 (down), mean of the values since then. */
export type CusumAlarm = { at: number; changedAt: number; side: 1 | -1; shift: number };

/** Upward and downward sums after each value (both 0 or more, of the series' length; NaN values repeat the state before them). */
export type CusumChart = { up: Float64Array; down: Float64Array; alarm: CusumAlarm | undefined };

/**
 * Two-sided cumulative sums of standardized values (mean 0, SD 1 while nothing has changed; oldest first): Page 1954
 * Biometrika 41:100; head start Lucas & Crosier 1982 Technometrics 24:199; change date = last time the sum was 0. The sums
 * go on after an alarm; start a new chart to look for the next change. Both sides beyond at once: the larger sum.
 */
export const cusum = (
  standardized: ArrayLike<number>,
  { slack, limit, headStart = 0 }: CusumOptions,
): CusumChart => {
  const n = standardized.length;
  const up = new Float64Array(n);
  const down = new Float64Array(n);
  const begin = headStart * limit;
  const sums = { up: begin, down: begin };
  const since = { up: 0, down: 0 };
  let alarm: CusumAlarm | undefined;
  for (let i = 0; i < n; i++) {
    const value = standardized[i] as number;
    if (!Number.isNaN(value)) {
      sums.up = Math.max(0, sums.up + value - slack);
      sums.down = Math.max(0, sums.down - value - slack);
    }
    if (sums.up === 0) since.up = i + 1;
    if (sums.down === 0) since.down = i + 1;
    up[i] = sums.up;
    down[i] = sums.down;
    if (alarm === undefined && Math.max(sums.up, sums.down) > limit) {
      const isUp = sums.up >= sums.down;
      const changedAt = isUp ? since.up : since.down;
      alarm = { at: i, changedAt, side: isUp ? 1 : -1, shift: meanOf(standardized, changedAt, i) };
    }
  }
  return { up, down, alarm };
};

/** Mean of the values from one place to another, both included, NaN left out. */
const meanOf = (values: ArrayLike<number>, from: number, to: number): number => {
  let sum = 0;
  let n = 0;
  for (let i = from; i <= to; i++) {
    if (Number.isNaN(values[i] as number)) continue;
    sum += values[i] as number;
    n++;
  }
  return sum / n;
};
