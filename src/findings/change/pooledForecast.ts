/** Prior SDs of what a cutter differs from expected: on all items alike, and on one item more. */
export type ForecastPrior = { all: number; item: number };

/** One cutter's tests, oldest first: what they differ from expected, the SD of one test, and small codes of the items. */
export type CutterSeries = { left: Float64Array; sd: Float64Array; item: Int32Array; items: number };

/** Forecast errors in SDs, bounded, and the values as bounded by them, in the unit of `left`. */
export type Forecast = { errors: Float64Array; bounded: Float64Array };

/**
 * Each test against the forecast from the cutter's own tests before it alone (never later ones): what the cutter differs
 * by on all items plus on this item, both shrunken by wide priors, so that a series starts itself on any level. Errors are
 * independent and standard normal while nothing changes. A test beyond `bound` SDs counts as one at `bound`, so that one
 * bad sheet neither raises an alarm nor moves the baseline. Self-starting as in Hawkins 1987 The Statistician 36:295, SD
 * known from the chain; forecast of nested normal effects (Harvey 1989, Forecasting, ch. 3).
 */
export const pooledForecast = (
  { left, sd, item, items }: CutterSeries,
  prior: ForecastPrior,
  { scale, bound }: { scale: number; bound: number },
): Forecast => {
  const n = left.length;
  const forecast = { errors: new Float64Array(n), bounded: new Float64Array(n) };
  const [weight, sum] = [new Float64Array(items), new Float64Array(items)];
  const [known, told] = [new Float64Array(items), new Float64Array(items)];
  // precision and weighted mean of what all items say of the part common to them
  let precision = 1 / prior.all ** 2;
  let weighted = 0;
  for (let i = 0; i < n; i++) {
    const k = item[i] as number;
    const variance = (scale * (sd[i] as number)) ** 2;
    const own = weight[k] as number;
    const kept = (prior.item ** 2 * own) / (1 + prior.item ** 2 * own);
    const itemMean = own > 0 ? (sum[k] as number) / own : 0;
    const center = (1 - kept) * (weighted / precision) + kept * itemMean;
    const spread = Math.sqrt((1 - kept) ** 2 / precision + prior.item ** 2 * (1 - kept) + variance);
    const error = ((left[i] as number) - center) / spread;
    const within = Math.min(bound, Math.max(-bound, error));
    forecast.errors[i] = within;
    forecast.bounded[i] = center + within * spread;
    weight[k] = own + 1 / variance;
    sum[k] = (sum[k] as number) + (forecast.bounded[i] as number) / variance;
    const now = 1 / (1 / (weight[k] as number) + prior.item ** 2);
    precision += now - (known[k] as number);
    weighted += (now * (sum[k] as number)) / (weight[k] as number) - (told[k] as number);
    known[k] = now;
    told[k] = (now * (sum[k] as number)) / (weight[k] as number);
  }
  return forecast;
};
