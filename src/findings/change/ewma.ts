/** lambda in (0, 1]: weight of the newest value. width: half width of the limits in standard deviations of the average. */
export type EwmaOptions = { lambda: number; width: number };

/**
 * Average after each value and the half width of the limits there (about 0), and the first place beyond them (-1 = none).
 * All of the series' length; a missing value (NaN) repeats the state before it.
 */
export type EwmaChart = { average: Float64Array; limit: Float64Array; alarmAt: number };

/**
 * Exponentially weighted moving average of standardized values (mean 0, SD 1 while nothing has changed; oldest first) with
 * exact limits width sqrt(lambda / (2 - lambda) (1 - (1 - lambda)^2t)), t values seen (Roberts 1959 Technometrics 1:239;
 * Lucas & Saccucci 1990 Technometrics 32:1).
 */
export const ewma = (standardized: ArrayLike<number>, { lambda, width }: EwmaOptions): EwmaChart => {
  const n = standardized.length;
  const chart = { average: new Float64Array(n), limit: new Float64Array(n), alarmAt: -1 };
  let average = 0;
  // variance of the average: kept as a sum, so that limits are exact from the first value on
  let variance = 0;
  for (let i = 0; i < n; i++) {
    const value = standardized[i] as number;
    if (!Number.isNaN(value)) {
      average = lambda * value + (1 - lambda) * average;
      variance = lambda * lambda + (1 - lambda) ** 2 * variance;
    }
    const limit = width * Math.sqrt(variance);
    chart.average[i] = average;
    chart.limit[i] = limit;
    if (chart.alarmAt < 0 && Math.abs(average) > limit) chart.alarmAt = i;
  }
  return chart;
};
