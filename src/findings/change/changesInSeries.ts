import { beforeAfter, type Contrast, changePlace } from './beforeAfter.ts';
import type { ChartLimits } from './chartLimits.ts';
import { cusum } from './cusum.ts';
import { ewma } from './ewma.ts';
import { type CutterSeries, type ForecastPrior, pooledForecast } from './pooledForecast.ts';

/** A change of level at test `at`, told by the alarm at `alarmAt`; its time runs from test `from` to before `end`. */
export type SeriesChange = {
  from: number;
  at: number;
  alarmAt: number;
  end: number;
  side: 1 | -1;
  contrast: Contrast;
};
export type ChartSettings = {
  prior: ForecastPrior;
  scale: number;
  bound: number;
  limits: ChartLimits;
  /** P-value of a contrast; changes above `most` are none, and the levels on both sides of such a one are one. */
  clear?: { pValueOf: (contrast: Contrast) => number; most: number };
};

/** At least this many tests on either side before a change is dated. */
export const fewest = 4;
/** After a change the level may lie anywhere: prior SDs there are this many times those of the start. */
const openAfter = 5;
/** The date of a change is taken from tests up to this many after the alarm, so that it does not wander for ever. */
const settle = 12;

/**
 * Changes of level in one series, earliest first. A chart pair (EWMA and CUSUM) runs over the forecast errors; at an alarm
 * the change is dated where before and after differ most (maximum likelihood; the CUSUM's last zero is less exact) and new
 * charts with a new baseline start there. Contrasts compare the time from the change before to the change after. A level
 * ends only at a change that is itself kept: those not clear are taken out one by one, the least clear first.
 */
export const changesInSeries = (series: CutterSeries, settings: ChartSettings): SeriesChange[] => {
  const n = series.left.length;
  const found: Place[] = [];
  let from = 0;
  const values = new Float64Array(n);
  while (n - from >= 2 * fewest) {
    const part = partOf(series, from, n);
    const { all, item } = settings.prior;
    const opened = from === 0 ? 1 : openAfter;
    const forecast = pooledForecast(part, { all: opened * all, item: opened * item }, settings);
    values.set(forecast.bounded, from);
    const alarm = firstAlarm(forecast.errors, settings.limits);
    if (alarm === undefined) break;
    const at = changePlace(forecast.bounded, part, {
      from: 0,
      to: Math.min(part.left.length, alarm.at + 1 + settle),
      sign: alarm.side,
      fewest,
    });
    if (at < 0) break;
    found.push({ at: from + at, alarmAt: from + alarm.at, side: alarm.side });
    from += at;
  }
  const { clear } = settings;
  for (;;) {
    const changes = withLevels(found, values, series);
    if (clear === undefined) return changes;
    const pValues = changes.map(({ contrast }) => clear.pValueOf(contrast));
    const largest = Math.max(...pValues);
    if (!(largest > clear.most)) return changes;
    found.splice(pValues.indexOf(largest), 1);
  }
};

type Place = Pick<SeriesChange, 'at' | 'alarmAt' | 'side'>;

/** Each change with the levels before and after, which end at the changes beside it. */
const withLevels = (found: readonly Place[], values: Float64Array, series: CutterSeries): SeriesChange[] =>
  found.map((change, k) => {
    const from = found[k - 1]?.at ?? 0;
    const end = found[k + 1]?.at ?? values.length;
    return { ...change, from, end, contrast: beforeAfter(values, series, { from, at: change.at, to: end }) };
  });

const partOf = ({ left, sd, item, items }: CutterSeries, from: number, to: number): CutterSeries => ({
  left: left.subarray(from, to),
  sd: sd.subarray(from, to),
  item: item.subarray(from, to),
  items,
});

/** The earlier alarm of the two charts. */
const firstAlarm = (errors: Float64Array, limits: ChartLimits): { at: number; side: 1 | -1 } | undefined => {
  const sums = cusum(errors, limits.cusum).alarm;
  const average = ewma(errors, limits.ewma);
  const at = average.alarmAt;
  if (at >= 0 && (sums === undefined || at < sums.at))
    return { at, side: (average.average[at] as number) > 0 ? 1 : -1 };
  return sums === undefined ? undefined : { at: sums.at, side: sums.side };
};
